package page

import (
	"bytes"
	"encoding/gob"
	"errors"
	"fmt"
	"image/color"
	"image/png"
	"io"
	"strconv"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"traywright/geometry/units"
)

// made is the date in every file: a clock would change its bytes from run to run.
var made = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// pointMM is a point in mm.
const pointMM = units.InchMM / 72

// document is a PDF in the making.
type document struct {
	*fpdf.Fpdf
	fitter
	letters *typesetter
	images  int
}

func newDocument(size Paper, title string, extra *letters) (*document, error) {
	l, err := newTypesetter(extra)
	if err != nil {
		return nil, err
	}
	width, height := size.mm()
	d := &document{letters: l, Fpdf: fpdf.NewCustom(&fpdf.InitType{
		OrientationStr: "P", UnitStr: "mm", Size: fpdf.SizeType{Wd: width, Ht: height},
	})}
	d.fitter = fitter{l.pageFonts, d.width}
	d.SetCatalogSort(true)
	d.SetCreationDate(made)
	d.SetModificationDate(made)
	d.SetProducer("traywright", false)
	d.SetTitle(d.clean(title), true)
	d.SetMargins(0, 0, 0)
	d.SetAutoPageBreak(false, 0)
	d.AddUTF8FontFromBytes("go", "", bytes.Clone(goregular.TTF))
	d.AddUTF8FontFromBytes("go", "B", bytes.Clone(gobold.TTF))
	return d, d.Error()
}

// page begins a page, upright or lying.
func (d *document) page(size Paper, lying bool) {
	width, height := size.mm()
	orientation := "P"
	if lying {
		orientation = "L"
	}
	d.AddPageFormat(orientation, fpdf.SizeType{Wd: width, Ht: height})
}

// write ends the document.
func (d *document) write(w io.Writer) error {
	if err := d.Output(w); err != nil {
		return fmt.Errorf("PDF: %w", err)
	}
	return nil
}

// embedded is a PNG that has been taken into the document.
type embedded struct {
	name  string
	ratio float64 // height over width
}

// embed takes a PNG into the document as it is, without packing its pixels anew.
func (d *document) embed(data []byte) (embedded, error) {
	ratio, err := ratioOf(data)
	if err != nil {
		return embedded{}, err
	}
	d.images++
	p := embedded{strconv.Itoa(d.images), ratio}
	info := d.RegisterImageOptionsReader(p.name, fpdf.ImageOptions{ImageType: "PNG"}, bytes.NewReader(data))
	if err := d.Error(); err != nil {
		return embedded{}, fmt.Errorf("picture: %w", err)
	}
	return p, putInOrder(info, d.images)
}

// ratioOf is a PNG's height over its width.
func ratioOf(data []byte) (float64, error) {
	size, err := png.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return 0, fmt.Errorf("picture: %w", err)
	}
	return float64(size.Height) / float64(size.Width), nil
}

// putInOrder gives an image its own place among those of equal width. The
// library writes images by their width, and equal ones in the order of a Go
// map, which is another in each run; a millionth of a pixel for each image tells
// them apart and is cut off when the width is written.
func putInOrder(info *fpdf.ImageInfoType, number int) error {
	var (
		data, alpha, palette    []byte
		object, bits            int
		width, height           float64
		space, filter, decoding string
		transparent             []int
		scale, dpi              float64
	)
	fields := []any{&data, &alpha, &object, &width, &height, &space, &palette, &bits, &filter, &decoding, &transparent, &scale, &dpi}
	packed, err := info.GobEncode()
	if err != nil {
		return err
	}
	from := gob.NewDecoder(bytes.NewReader(packed))
	for _, f := range fields {
		err = errors.Join(err, from.Decode(f))
	}
	width += float64(number) * 1e-6
	var b bytes.Buffer
	to := gob.NewEncoder(&b)
	for _, f := range fields {
		err = errors.Join(err, to.Encode(f))
	}
	if err != nil {
		return err
	}
	return info.GobDecode(b.Bytes())
}

// show puts a picture on the page, width mm wide.
func (d *document) show(p embedded, x, y, width float64) {
	d.ImageOptions(p.name, x, y, width, width*p.ratio, false, fpdf.ImageOptions{ImageType: "PNG"}, 0, "")
}

func (d *document) stroke(c color.RGBA, widthMM float64) {
	d.SetDrawColor(int(c.R), int(c.G), int(c.B))
	d.SetLineWidth(widthMM)
}

func (d *document) fill(c color.RGBA) { d.SetFillColor(int(c.R), int(c.G), int(c.B)) }

// box is a box to tick, standing on the baseline y.
func (d *document) box(x, y, side float64) {
	d.stroke(ink, 0.25)
	d.Rect(x, y-side, side, side, "D")
}
