package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"traywright/cam"
)

// writeFolder puts the files into dir, all or none: they are written into a
// new folder beside it, which then takes its name. A folder that is there
// already is replaced only when an earlier run wrote everything in it.
func writeFolder(ctx context.Context, dir string, files []cam.File) (err error) {
	dir, err = settledPath(dir)
	if err != nil {
		return cannotWrite(dir, err)
	}
	if err := mayReplace(dir); err != nil {
		return err
	}
	made, err := makeParents(filepath.Dir(dir))
	if err != nil {
		return cannotWrite(dir, err)
	}
	defer func() {
		if err != nil && made != "" {
			os.RemoveAll(made)
		}
	}()
	fresh, err := os.MkdirTemp(filepath.Dir(dir), ".traywright-")
	if err != nil {
		return cannotWrite(dir, err)
	}
	defer os.RemoveAll(fresh)
	if err := fill(ctx, fresh, files); err != nil {
		return cannotWrite(dir, err)
	}
	if err := swap(dir, fresh); err != nil {
		return cannotWrite(dir, err)
	}
	return nil
}

func cannotWrite(dir string, err error) error {
	if errors.Is(err, context.Canceled) {
		return usageError{"stopped before anything was written", ""}
	}
	return usageError{
		fmt.Sprintf("%s: the output folder cannot be written: %v", dir, cause(err)),
		"choose a folder that you may write to, with room on its disk; nothing was left behind",
	}
}

// cause is the operating system's reason without the names of our own
// temporary files.
func cause(err error) error {
	var path *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &path):
		return path.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
}

// settledPath is dir as an absolute path without links.
func settledPath(dir string) (string, error) {
	full, err := filepath.Abs(dir)
	if err != nil {
		return dir, err
	}
	real, err := filepath.EvalSymlinks(full)
	if errors.Is(err, fs.ErrNotExist) {
		return full, nil
	}
	return real, err
}

// mayReplace refuses a folder that holds anything an earlier run did not write.
func mayReplace(dir string) error {
	info, err := os.Lstat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return cannotWrite(dir, err)
	case !info.IsDir():
		return usageError{dir + " is a file, not a folder", "name a folder for --out"}
	case info.Mode().Perm()&0o200 == 0:
		return cannotWrite(dir, errors.New("it is read-only"))
	}
	ours := filesOfEarlierRun(dir)
	foreign, err := firstForeign(dir, ours)
	if err != nil {
		return cannotWrite(dir, err)
	}
	if foreign != "" {
		return usageError{
			fmt.Sprintf("%s holds %s, which no earlier run wrote", dir, foreign),
			"choose a new folder for --out, or move that file away",
		}
	}
	return keepsReadings(dir)
}

// filesOfEarlierRun lists what the report in dir says was written with it.
func filesOfEarlierRun(dir string) []string {
	var report cam.Report
	text, err := os.ReadFile(filepath.Join(dir, cam.ReportName))
	if err != nil || json.Unmarshal(text, &report) != nil {
		return nil
	}
	names := []string{cam.ReportName}
	for _, f := range report.Files {
		names = append(names, f.Path)
	}
	return names
}

// firstForeign is a file below dir that is not in the list, or "".
func firstForeign(dir string, ours []string) (string, error) {
	foreign := ""
	err := filepath.WalkDir(dir, func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name, err := filepath.Rel(dir, path)
		if err != nil {
			return err
		}
		if !entry.IsDir() && !slices.Contains(ours, filepath.ToSlash(name)) {
			foreign = name
			return fs.SkipAll
		}
		return nil
	})
	return foreign, err
}

// makeParents makes the folders down to dir and returns the topmost one that
// it had to make, "" for none.
func makeParents(dir string) (made string, err error) {
	for d := dir; ; d = filepath.Dir(d) {
		if _, err := os.Stat(d); err == nil || d == filepath.Dir(d) {
			break
		}
		made = d
	}
	return made, os.MkdirAll(dir, 0o755)
}

func fill(ctx context.Context, dir string, files []cam.File) error {
	if err := os.Chmod(dir, 0o755); err != nil {
		return err
	}
	for _, f := range files {
		if err := ctx.Err(); err != nil {
			return err
		}
		if !filepath.IsLocal(filepath.FromSlash(f.Path)) {
			return fmt.Errorf("%q is not a path inside the folder", f.Path)
		}
		path := filepath.Join(dir, filepath.FromSlash(f.Path))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(path, f.Data, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// swap gives the fresh folder the name dir and removes what had it; when that
// fails, dir is again what it was.
func swap(dir, fresh string) error {
	_, err := os.Lstat(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return os.Rename(fresh, dir)
	}
	old := strings.TrimSuffix(fresh, string(filepath.Separator)) + "-old"
	if err := os.Rename(dir, old); err != nil {
		return err
	}
	if err := os.Rename(fresh, dir); err != nil {
		return errors.Join(err, os.Rename(old, dir))
	}
	return os.RemoveAll(old)
}
