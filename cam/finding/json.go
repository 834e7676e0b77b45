package finding

import (
	"bytes"
	"encoding/json"
	"reflect"
)

// JSON is the one way in which a document for other programs is written:
// indented, names in any script as they are, a newline at its end. A list or a
// map that nobody filled is [] or {}, never null.
func JSON(document any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(whole(reflect.ValueOf(document)).Interface()); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// whole is a value with its nil lists and maps made empty. What writes itself
// as JSON is left to do so.
func whole(v reflect.Value) reflect.Value {
	if !v.IsValid() {
		return reflect.ValueOf(struct{}{})
	}
	if _, own := v.Interface().(json.Marshaler); own && v.Kind() != reflect.Slice {
		return v
	}
	switch v.Kind() {
	case reflect.Struct:
		return wholeStruct(v)
	case reflect.Slice:
		return wholeSlice(v)
	case reflect.Array:
		out := reflect.New(v.Type()).Elem()
		for i := range v.Len() {
			out.Index(i).Set(whole(v.Index(i)))
		}
		return out
	case reflect.Map:
		return wholeMap(v)
	case reflect.Pointer:
		if v.IsNil() {
			return v
		}
		p := reflect.New(v.Type().Elem())
		p.Elem().Set(whole(v.Elem()))
		return p
	}
	return v
}

func wholeStruct(v reflect.Value) reflect.Value {
	out := reflect.New(v.Type()).Elem()
	out.Set(v)
	for i := range v.NumField() {
		if v.Type().Field(i).IsExported() && out.Field(i).Kind() != reflect.Interface {
			out.Field(i).Set(whole(v.Field(i)))
		}
	}
	return out
}

// wholeSlice leaves bytes to encoding/json, which writes them as text.
func wholeSlice(v reflect.Value) reflect.Value {
	if v.Type().Elem().Kind() == reflect.Uint8 {
		return v
	}
	out := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
	for i := range v.Len() {
		out.Index(i).Set(whole(v.Index(i)))
	}
	return out
}

func wholeMap(v reflect.Value) reflect.Value {
	out := reflect.MakeMapWithSize(v.Type(), v.Len())
	for key, value := range v.Seq2() {
		out.SetMapIndex(key, whole(value))
	}
	return out
}
