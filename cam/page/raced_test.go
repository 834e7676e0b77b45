//go:build race

package page

const raced = true
