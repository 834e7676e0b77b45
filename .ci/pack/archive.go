package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"slices"
	"strings"
	"time"
)

// when is the time of every file in an archive: the same source gives the same bytes.
var when = time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)

// pack is the archive of a folder of that name, by name: zip for Windows, tar for others.
func pack(folder, goos string, files []file) (data []byte, ending string, err error) {
	slices.SortFunc(files, func(a, b file) int { return strings.Compare(a.name, b.name) })
	if goos == "windows" {
		data, err = zipped(folder, files)
		return data, ".zip", err
	}
	data, err = tarred(folder, files)
	return data, ".tar.gz", err
}

func mode(f file) int64 {
	if f.program {
		return 0o755
	}
	return 0o644
}

func tarred(folder string, files []file) ([]byte, error) {
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	t := tar.NewWriter(z)
	for _, f := range files {
		head := tar.Header{Typeflag: tar.TypeReg, Name: folder + "/" + f.name, Size: int64(len(f.data)), Mode: mode(f), ModTime: when, Format: tar.FormatUSTAR}
		if err := t.WriteHeader(&head); err != nil {
			return nil, err
		}
		if _, err := t.Write(f.data); err != nil {
			return nil, err
		}
	}
	if err := t.Close(); err != nil {
		return nil, err
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

func zipped(folder string, files []file) ([]byte, error) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, f := range files {
		head := zip.FileHeader{Name: folder + "/" + f.name, Method: zip.Deflate, Modified: when}
		w, err := z.CreateHeader(&head)
		if err != nil {
			return nil, err
		}
		if _, err := w.Write(f.data); err != nil {
			return nil, err
		}
	}
	err := z.Close()
	return b.Bytes(), err
}
