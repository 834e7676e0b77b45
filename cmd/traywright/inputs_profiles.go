package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/profiles"
)

// Whose numbers: what ships, over it the folder that the job names, over both that of
// --profiles. The command line is the nearer word, as with --machine.

// readCatalog is what ships, with the folder of --profiles laid over it.
func readCatalog(c *cli.Context) (*profiles.Catalog, error) {
	catalog, err := profiles.Shipped()
	if err != nil {
		return nil, err
	}
	return catalog, layFlag(c, catalog)
}

// layFlag lays the folder of --profiles over a catalog, where there is one.
func layFlag(c *cli.Context, catalog *profiles.Catalog) error {
	dir := c.String(profilesFlag.Name)
	if dir == "" {
		return nil
	}
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		return usage(dir+": there is no such folder of profiles", "name a folder with .yaml files for --profiles")
	}
	return asUsage(catalog.Add(plainFiles{os.DirFS(dir)}))
}

// jobCatalog is what ships, with the job's own folder laid over it, and over both that
// of --profiles. A folder that is named twice is laid once.
func (s *session) jobCatalog(c *cli.Context, path string, folder fs.FS, j *job.Job) (*profiles.Catalog, error) {
	catalog, err := profiles.Shipped()
	if err != nil {
		return nil, err
	}
	flag := c.String(profilesFlag.Name)
	if j.Profiles != "" {
		if err := layJobs(catalog, folder, j); err != nil {
			return nil, err
		}
		s.say("profiles: %s, named by the job", j.Profiles)
	}
	if flag != "" && (j.Profiles == "" || !sameFile(flag, filepath.Join(filepath.Dir(path), j.Profiles))) {
		if err := layFlag(c, catalog); err != nil {
			return nil, err
		}
		if j.Profiles != "" {
			s.say("profiles: over them %s, of --profiles: where both have a row, this one counts", flag)
		}
	}
	s.tellReplaced(catalog)
	return catalog, nil
}

// layJobs lays the folder that the job names over a catalog.
func layJobs(catalog *profiles.Catalog, folder fs.FS, j *job.Job) error {
	unread := func(message string) error {
		return finding.List{{Unread: true, Rule: "no-profiles", Where: j.ProfilesPosition.String(), Message: message,
			Hint: "`profiles` names a folder beside the job with .yaml files in it; `traywright profiles new` makes one, or take the key out"}}
	}
	info, err := fs.Stat(folder, j.Profiles)
	if err != nil {
		return unread(fmt.Sprintf("the folder of profiles %s cannot be read: %v", j.Profiles, cause(err)))
	}
	if !info.IsDir() {
		return unread(j.Profiles + " is a file, and no folder of profiles")
	}
	held, err := fs.Sub(folder, j.Profiles)
	if err != nil {
		return unread(err.Error())
	}
	err = catalog.Add(plainFiles{held})
	if found := (finding.List)(nil); err != nil && !errors.As(err, &found) {
		return unread(j.Profiles + ": " + err.Error())
	}
	return err
}

// tellReplaced says which rows, mostly of the shipped profiles, the user's own folders replaced.
func (s *session) tellReplaced(c *profiles.Catalog) {
	for _, name := range c.Replaced() {
		s.say("note: your profiles replace %s", name)
	}
}

// tellWhose says in a line whose machine and recipes a plan was made with.
func (s *session) tellWhose(c *profiles.Catalog, p *plan.Plan) {
	whose := map[bool]string{true: "as it ships", false: "your own"}
	var shipped, own, measured []string
	seen := map[string]bool{}
	for _, t := range p.Trays {
		for _, sheet := range t.Sheets {
			for _, cut := range sheet.All() {
				for _, used := range cut.Recipes {
					name := used.Foam + " with " + used.Tool
					r, ok := c.Recipe(used.Foam, used.Machine, used.Tool)
					switch {
					case !ok || seen[name]:
					case used.Measured():
						measured = append(measured, name+strings.Replace(used.ByCoupons(), ", by ", " by ", 1))
					case c.ShipsRecipe(r):
						shipped = append(shipped, name)
					default:
						own = append(own, name)
					}
					seen[name] = true
				}
			}
		}
	}
	text := fmt.Sprintf("numbers: machine %s %s", p.Machine.ID, whose[c.ShipsMachine(p.Machine)])
	if x, y := p.Machine.Scale(); x != 1 || y != 1 {
		text += ", its scale your own"
	}
	for _, kind := range []struct {
		what  string
		names []string
	}{{"kerf measured", measured}, {"recipe your own", own}, {"recipe as it ships", shipped}} {
		if len(kind.names) > 0 {
			text += "; " + kind.what + ": " + strings.Join(kind.names, ", ")
		}
	}
	s.say("%s", text)
}
