package main

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"io/fs"

	"traywright/cam"
)

// What every PNG ends with, and how the chunk begins that sealPicture puts before it
// (PNG, ISO/IEC 15948, 5.3 and 11.3.3: keyword, zero, text).
var (
	pngEnd     = []byte("\x00\x00\x00\x00IEND\xaeB`\x82")
	pngKeyword = []byte("tEXttraywright\x00")
)

// sealPicture adds a text to a PNG that tells whether it was changed since: the sum
// of the file without it. No program that shows pictures minds.
func sealPicture(png []byte) []byte {
	body, ok := bytes.CutSuffix(png, pngEnd)
	if !ok {
		return png
	}
	chunk := append(bytes.Clone(pngKeyword), cam.Sum(png)...)
	sealed := binary.BigEndian.AppendUint32(bytes.Clone(body), uint32(len(chunk)-4)) // the type is not counted
	sealed = append(sealed, chunk...)
	sealed = binary.BigEndian.AppendUint32(sealed, crc32.ChecksumIEEE(chunk))
	return append(sealed, pngEnd...)
}

// pictureSealed reports whether a PNG is as sealPicture left it.
func pictureSealed(png []byte) bool {
	at := bytes.LastIndex(png, pngKeyword) - 4
	if at < 0 {
		return false
	}
	return bytes.Equal(png, sealPicture(append(bytes.Clone(png[:at]), pngEnd...)))
}

// mayDraw refuses to draw over anything but a picture of ours that nobody changed.
func mayDraw(name string) error {
	old, err := readPlain(name)
	switch {
	case errors.Is(err, fs.ErrNotExist) || err == nil && pictureSealed(old):
		return nil
	case err != nil:
		return cannotRead(name, err)
	}
	return usage(name+" is there, and is no picture of `arrange`, or was changed since", "move it away, or choose another name with --picture")
}
