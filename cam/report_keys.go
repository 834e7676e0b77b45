package cam

import (
	"encoding"
	"reflect"
	"strings"

	"traywright/profiles"
	"traywright/profiles/strict"
)

// ReportKeys are the keys of report.json, made from the tags of what it is written from.
func ReportKeys() *strict.Group {
	g := *keysOf(reflect.TypeFor[Report]())
	g.Name, g.At = "report", "the document"
	g = g.With(strict.Row{Key: "seal", Form: strict.Pattern("text", "^[0-9a-f]{64}$"), Default: strict.Needed, Means: "SHA-256 of the text without this key"})
	return &g
}

// keysOf are the keys of a struct; those of an embedded one stand among them.
func keysOf(t reflect.Type) *strict.Group {
	g := &strict.Group{Name: groupName(t), At: "a row of the report"}
	for i := range t.NumField() {
		f := t.Field(i)
		key, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		switch {
		case f.Anonymous:
			g.Rows = append(g.Rows, keysOf(f.Type).Rows...)
		case f.IsExported() && key != "-":
			r := strict.Row{Key: key, Form: formOf(f.Type).In(profiles.UnitOf(key)), Default: strict.Needed, Means: f.Tag.Get("means")}
			if one, few := f.Tag.Lookup("one"); few {
				r.Form = strict.OneOf(strings.Split(one, "|")...)
			}
			if options != "" {
				r.Default = "not there"
			}
			g.Rows = append(g.Rows, r)
		}
	}
	return g
}

// groupName is the type's name as keys are written: dry-run of DryRunReport.
func groupName(t reflect.Type) string {
	var b strings.Builder
	for i, r := range strings.TrimSuffix(t.Name(), "Report") {
		if i > 0 && r >= 'A' && r <= 'Z' {
			b.WriteByte('-')
		}
		b.WriteRune(r)
	}
	return "report-" + strings.ToLower(b.String())
}

func formOf(t reflect.Type) strict.Form {
	switch {
	case t.Implements(reflect.TypeFor[encoding.TextMarshaler]()):
		return strict.Typed("text", "string")
	case t.Kind() == reflect.Struct:
		return strict.Keyed(keysOf(t))
	case t.Kind() == reflect.Pointer:
		return formOf(t.Elem())
	case t.Kind() == reflect.Slice:
		return strict.ListOf(formOf(t.Elem()), 0)
	case t.Kind() == reflect.Array:
		return strict.ATuple("["+strings.Join([]string{"X", "Y", "Z"}[:t.Len()], ", ")+"]", formOf(t.Elem()))
	case t.Kind() == reflect.Bool:
		return strict.Typed("`true` or `false`", "boolean")
	case t.Kind() == reflect.Int:
		return strict.Typed("whole number", "integer")
	case t.Kind() == reflect.Float64:
		return strict.Typed("number", "number")
	}
	return strict.Typed("text", "string")
}
