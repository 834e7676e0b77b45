//go:build !race

package page

const raced = false
