package main

import (
	"debug/buildinfo"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
)

// known is the licence of every module that may be in the program, by its SPDX name, as its text
// was read. A module that is not here stops a release until somebody has read its text.
var known = map[string]string{
	"codeberg.org/go-pdf/fpdf":           "MIT",
	"github.com/cpuguy83/go-md2man/v2":   "MIT",
	"github.com/fogleman/gg":             "MIT",
	"github.com/go-text/typesetting":     "BSD-3-Clause", // with MIT for what it took from HarfBuzz
	"github.com/goccy/go-yaml":           "MIT",
	"github.com/golang/freetype":         "FTL",
	"github.com/mitchellh/colorstring":   "MIT",
	"github.com/rivo/uniseg":             "MIT",
	"github.com/russross/blackfriday/v2": "BSD-2-Clause",
	"github.com/schollz/progressbar/v3":  "MIT",
	"github.com/urfave/cli/v2":           "MIT",
	"github.com/xrash/smetrics":          "MIT",
	"golang.org/x/image":                 "BSD-3-Clause",
	"golang.org/x/sys":                   "BSD-3-Clause",
	"golang.org/x/term":                  "BSD-3-Clause",
	"golang.org/x/text":                  "BSD-3-Clause",
	"gonum.org/v1/gonum":                 "BSD-3-Clause",
	goItself:                             "BSD-3-Clause",
}

const goItself = "go"

// credit is what the licence of github.com/golang/freetype asks for in the documents.
const credit = "Portions of this software are copyright (c) The FreeType Project (www.freetype.org).\nAll rights reserved. The drawing of letters on pictures uses its code, ported to Go.\n"

// part is a module in the program.
type part struct{ path, version, licence, folder string }

// modules are the modules in a program, with their licence texts as files.
func modules(info *buildinfo.BuildInfo) ([]file, []part, error) {
	parts := []part{{path: goItself, version: strings.TrimPrefix(info.GoVersion, "go"), folder: runtime.GOROOT()}}
	for _, m := range info.Deps {
		out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", m.Path).Output()
		if err != nil {
			return nil, nil, fmt.Errorf("%s: %w", m.Path, err)
		}
		parts = append(parts, part{path: m.Path, version: m.Version, folder: strings.TrimSpace(string(out))})
	}
	list := []file{{name: "licences/CREDITS.txt", data: []byte(credit)}}
	for i, p := range parts {
		if parts[i].licence = known[p.path]; parts[i].licence == "" {
			return nil, nil, fmt.Errorf("%s is new: read its licence, and name it in .ci/pack/modules.go", p.path)
		}
		texts, err := texts(p)
		if err != nil {
			return nil, nil, err
		}
		list = append(list, texts...)
	}
	return list, parts, nil
}

// ofLicence is what files of licences are called.
var ofLicence = regexp.MustCompile(`(?i)^(licen[cs]e|copying|notice)(\.|$)|^(ftl\.txt|.*-LICENSE)$`)

// texts are a module's licence texts; of a choice of two, the one that holds here.
func texts(p part) ([]file, error) {
	var list []file
	for _, below := range []string{"", "licenses", "THIRD_PARTY_LICENSES", "harfbuzz"} {
		names, err := os.ReadDir(filepath.Join(p.folder, below))
		if err != nil {
			continue // most have only the first
		}
		for _, n := range names {
			if n.IsDir() || !ofLicence.MatchString(n.Name()) {
				continue
			}
			data, err := os.ReadFile(filepath.Join(p.folder, below, n.Name()))
			if err != nil {
				return nil, err
			}
			name := strings.NewReplacer("/", "_").Replace(path.Join(p.path, below)) + "_" + strings.TrimSuffix(n.Name(), ".txt") + ".txt"
			list = append(list, file{name: "licences/" + name, data: data})
		}
	}
	if len(list) == 0 {
		return nil, fmt.Errorf("%s has no text of its licence in %s", p.path, p.folder)
	}
	return list, nil
}

// bill lists what is in the program, in the form of CycloneDX 1.5.
func bill(version string, parts []part) ([]byte, error) {
	type licence struct {
		License struct {
			ID string `json:"id"`
		} `json:"license"`
	}
	type component struct {
		Type     string    `json:"type"`
		Name     string    `json:"name"`
		Version  string    `json:"version"`
		PURL     string    `json:"purl,omitempty"`
		Licenses []licence `json:"licenses"`
	}
	licensed := func(id string) []licence { l := make([]licence, 1); l[0].License.ID = id; return l }
	list := []component{}
	for _, p := range parts {
		url := "pkg:golang/" + p.path + "@" + p.version
		if p.path == goItself {
			url = "pkg:golang/std@" + p.version
		}
		list = append(list, component{"library", p.path, p.version, url, licensed(p.licence)})
	}
	type metadata struct {
		Component component `json:"component"`
	}
	text, err := json.MarshalIndent(struct {
		Format   string      `json:"bomFormat"`
		Spec     string      `json:"specVersion"`
		Version  int         `json:"version"`
		Metadata metadata    `json:"metadata"`
		Parts    []component `json:"components"`
	}{"CycloneDX", "1.5", 1, metadata{component{"application", "traywright", version, "", licensed("MIT")}}, list}, "", "  ")
	return append(text, '\n'), err
}
