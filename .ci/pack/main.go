// Command pack makes the archives of a release. See .ci/release.
package main

import (
	"bytes"
	"crypto/sha256"
	"debug/buildinfo"
	"fmt"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
)

var systems = []string{"linux/amd64", "linux/arm64", "darwin/amd64", "darwin/arm64", "windows/amd64", "windows/arm64"}

func main() {
	log.SetFlags(0)
	log.SetPrefix("release: ")
	if err := release(os.Args[1], os.Args[2], os.Args[3:]); err != nil {
		log.Fatal(err)
	}
}

// release writes the archives of the systems, all of them where none is named, with their sums.
func release(version, dir string, only []string) error {
	if !regexp.MustCompile(`^\d+\.\d+\.\d+(-[0-9a-z.]+)?$`).MatchString(version) {
		return fmt.Errorf("%q is no version: write three numbers, such as 0.1.0", version)
	}
	if len(only) == 0 {
		only = systems
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	shared, err := documents()
	if err != nil {
		return err
	}
	var sums strings.Builder
	put := func(name string, data []byte) error {
		fmt.Fprintf(&sums, "%x  %s\n", sha256.Sum256(data), name)
		return os.WriteFile(filepath.Join(dir, name), data, 0o644)
	}
	for i, system := range only {
		if !slices.Contains(systems, system) {
			return fmt.Errorf("%q is none of %s", system, strings.Join(systems, ", "))
		}
		program, info, err := build(version, system)
		if err != nil {
			return err
		}
		licences, parts, err := modules(info)
		if err != nil {
			return err
		}
		if i == 0 {
			bill, err := bill(version, parts)
			if err != nil {
				return err
			}
			if err := put("traywright-"+version+".cdx.json", bill); err != nil {
				return err
			}
		}
		name := "traywright-" + version + "-" + strings.ReplaceAll(system, "/", "-")
		goos, _, _ := strings.Cut(system, "/")
		archive, ending, err := pack(name, goos, slices.Concat([]file{program}, shared, licences))
		if err != nil {
			return err
		}
		if err := put(name+ending, archive); err != nil {
			return err
		}
		fmt.Printf("%s%s, %.1f MB\n", name, ending, float64(len(archive))/1e6)
	}
	return os.WriteFile(filepath.Join(dir, "SHA256SUMS"), []byte(sums.String()), 0o644)
}

// file is one of an archive.
type file struct {
	name    string
	data    []byte
	program bool
}

// build makes the program of a system; nothing of the place or the time where it is built is in it.
func build(version, system string) (file, *buildinfo.BuildInfo, error) {
	goos, arch, _ := strings.Cut(system, "/")
	name := "traywright"
	if goos == "windows" {
		name += ".exe"
	}
	out, err := os.MkdirTemp("", "release")
	if err != nil {
		return file{}, nil, err
	}
	defer os.RemoveAll(out)
	path := filepath.Join(out, name)
	c := exec.Command("go", "build", "-trimpath", "-buildvcs=false", "-ldflags", "-s -w -X main.release="+version, "-o", path, "./cmd/traywright")
	c.Env = append(os.Environ(), "CGO_ENABLED=0", "GOOS="+goos, "GOARCH="+arch)
	if said, err := c.CombinedOutput(); err != nil {
		return file{}, nil, fmt.Errorf("%s: %w\n%s", system, err, said)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return file{}, nil, err
	}
	info, err := buildinfo.ReadFile(path)
	return file{name, data, true}, info, err
}

// documents are the files that every archive has: what there is to read, the demonstration, and
// what a shell and `man` know of the commands, from the program itself.
func documents() ([]file, error) {
	var list []file
	for _, from := range []string{"README.md", "SAFETY.md", "LICENSE", "testdata/tidewrack"} {
		err := filepath.WalkDir(from, func(path string, d os.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			data, err := os.ReadFile(path)
			list = append(list, file{name: filepath.ToSlash(path), data: data})
			return err
		})
		if err != nil {
			return nil, err
		}
	}
	here, _, err := build("0.0.0", runtime.GOOS+"/"+runtime.GOARCH)
	if err != nil {
		return nil, err
	}
	dir, err := os.MkdirTemp("", "release")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	program := filepath.Join(dir, here.name)
	if err := os.WriteFile(program, here.data, 0o755); err != nil {
		return nil, err
	}
	for name, arguments := range map[string][]string{
		"traywright.1": {"man"}, "completions/traywright.bash": {"completion", "bash"},
		"completions/_traywright": {"completion", "zsh"}, "completions/traywright.fish": {"completion", "fish"},
	} {
		said, err := exec.Command(program, arguments...).Output()
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		list = append(list, file{name: name, data: bytes.ReplaceAll(said, []byte("\r\n"), []byte("\n"))})
	}
	return list, nil
}
