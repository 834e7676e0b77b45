package drawing

import "traywright/geometry"

// dxf2000 is a drawing for readers of AC1015. Every object in it has a
// handle and names its owner's.
type dxf2000 struct {
	pairs
	modelSpace, paperSpace handle // block records
}

// r2000 is the drawing in AC1015, with every section and table that this
// version demands. The header comes first but is written last: it names the
// first free handle.
func r2000(drawn Drawing) []byte {
	var d dxf2000
	d.section("CLASSES", func() {})
	d.section("TABLES", func() { d.tables(drawn.layersInUse()) })
	d.section("BLOCKS", func() {
		d.block("*Model_Space", d.modelSpace)
		d.block("*Paper_Space", d.paperSpace)
	})
	d.section("ENTITIES", func() {
		for _, l := range polylines(drawn) {
			d.lightPolyline(l)
		}
	})
	d.section("OBJECTS", d.objects)
	d.put(0, "EOF")

	var head pairs
	head.section("HEADER", func() {
		head.header("AC1015", drawn.Bounds())
		head.variable("$HANDSEED")
		head.put(5, (d.last + 1).String())
	})
	return append(head.text.Bytes(), d.text.Bytes()...)
}

func (d *dxf2000) tables(layers []Layer) {
	d.table("VPORT", nil, nil)
	d.table("LTYPE", []string{"ByBlock", "ByLayer", "Continuous"}, func(owner handle, name string) {
		d.record("LTYPE", "AcDbLinetypeTableRecord", owner, name)
		d.integer(70, 0)
		d.solidLine()
	})
	d.layers(append([]Layer{layerZero}, layers...))
	d.table("STYLE", []string{"Standard"}, d.textStyle)
	d.table("VIEW", nil, nil)
	d.table("UCS", nil, nil)
	d.table("APPID", []string{"ACAD"}, func(owner handle, name string) {
		d.record("APPID", "AcDbRegAppTableRecord", owner, name)
		d.integer(70, 0)
	})
	d.table("DIMSTYLE", []string{"Standard"}, func(owner handle, name string) {
		d.record("DIMSTYLE", "AcDbDimStyleTableRecord", owner, name)
		d.integer(70, 0)
	})
	d.table("BLOCK_RECORD", []string{"*Model_Space", "*Paper_Space"}, func(owner handle, name string) {
		d.record("BLOCK_RECORD", "AcDbBlockTableRecord", owner, name)
	})
	d.modelSpace, d.paperSpace = d.last-1, d.last
}

func (d *dxf2000) layers(layers []Layer) {
	var names []string
	index := map[string]int{}
	for _, l := range layers {
		names = append(names, l.Name)
		index[l.Name] = l.Index
	}
	d.table("LAYER", names, func(owner handle, name string) {
		d.record("LAYER", "AcDbLayerTableRecord", owner, name)
		d.integer(70, 0)
		d.layerLook(index[name])
	})
}

// table writes one symbol table and an entry for each name.
func (d *dxf2000) table(kind string, names []string, entry func(owner handle, name string)) {
	h := d.newHandle()
	d.put(0, "TABLE")
	d.put(2, kind)
	d.put(5, h.String())
	d.put(330, handle(0).String())
	d.put(100, "AcDbSymbolTable")
	d.integer(70, len(names))
	if kind == "DIMSTYLE" {
		d.put(100, "AcDbDimStyleTable")
	}
	for _, name := range names {
		entry(h, name)
	}
	d.put(0, "ENDTAB")
}

// record opens an entry of a symbol table.
func (d *dxf2000) record(kind, class string, owner handle, name string) {
	code := 5
	if kind == "DIMSTYLE" {
		code = 105 // 5 was taken when handles came
	}
	d.put(0, kind)
	d.put(code, d.newHandle().String())
	d.put(330, owner.String())
	d.put(100, "AcDbSymbolTableRecord")
	d.put(100, class)
	d.put(2, name)
}

// textStyle is there because the version demands one; no text uses it.
func (d *dxf2000) textStyle(owner handle, name string) {
	d.record("STYLE", "AcDbTextStyleTableRecord", owner, name)
	d.integer(70, 0)
	d.length(40, 0) // height: not fixed
	d.length(41, 1) // width factor
	d.length(50, 0) // slant
	d.integer(71, 0)
	d.length(42, 1) // last height used
	d.put(3, "txt")
	d.put(4, "")
}

// block writes the empty definition of model or paper space.
func (d *dxf2000) block(name string, record handle) {
	d.entity("BLOCK", record, layerZero, "AcDbBlockBegin")
	d.put(2, name)
	d.integer(70, 0)
	d.point(10, geometry.Point{})
	d.put(3, name)
	d.put(1, "")
	d.entity("ENDBLK", record, layerZero, "AcDbBlockEnd")
}

// entity opens an entity that the space of record owns.
func (d *dxf2000) entity(kind string, record handle, layer Layer, class string) {
	d.put(0, kind)
	d.put(5, d.newHandle().String())
	d.put(330, record.String())
	d.put(100, "AcDbEntity")
	d.put(8, layer.Name)
	d.integer(62, layer.Index)
	d.put(100, class)
}

// lightPolyline writes an LWPOLYLINE. The count, group 90, has to be the first
// of its class: one widespread reader overlooks the closing flag otherwise.
func (d *dxf2000) lightPolyline(l polyline) {
	d.entity("LWPOLYLINE", d.modelSpace, Layer{Name: l.layer, Index: l.colour}, "AcDbPolyline")
	d.integer(90, len(l.vertices))
	d.integer(70, l.flag())
	for _, v := range l.vertices {
		d.length(10, v.X)
		d.length(20, v.Y)
		d.bulge(v.Bulge)
	}
}

// objects writes the root dictionary and the one entry that it must have.
func (d *dxf2000) objects() {
	root, groups := d.newHandle(), d.newHandle()
	d.dictionary(root, 0)
	d.put(3, "ACAD_GROUP")
	d.put(350, groups.String())
	d.dictionary(groups, root)
}

func (d *dxf2000) dictionary(h, owner handle) {
	d.put(0, "DICTIONARY")
	d.put(5, h.String())
	d.put(330, owner.String())
	d.put(100, "AcDbDictionary")
	d.integer(281, 1) // of two entries of one name, keep the first
}
