package strict

// Schema is the JSON Schema, draft 2020-12, of a file whose outermost value has the group's
// keys. What hangs on more than one value, or on another file, it cannot say.
func (g *Group) Schema(title string) map[string]any {
	defs := map[string]any{}
	for _, below := range g.Reach() {
		defs[below.Name] = below.object()
	}
	return map[string]any{
		"$schema": "https://json-schema.org/draft/2020-12/schema",
		"title":   title, "$ref": "#/$defs/" + g.Name, "$defs": defs,
	}
}

// object is the schema of the group's keys.
func (g *Group) object() map[string]any {
	properties, needed := map[string]any{}, []string{}
	for _, r := range g.Rows {
		s := r.Form.toSchema()
		if g.Bare && r.Form.mayBeEmpty() {
			s = map[string]any{"anyOf": []any{s, map[string]any{"type": "null"}}}
		}
		s["description"] = r.Means
		if r.Default == Needed {
			needed = append(needed, r.Key)
		}
		properties[r.Key] = s
	}
	o := map[string]any{"type": "object", "properties": properties, "additionalProperties": false}
	if g.Any != nil {
		o["additionalProperties"] = g.Any.toSchema()
	}
	if len(needed) > 0 {
		o["required"] = needed
	}
	return o
}

// mayBeEmpty reports whether a value of the form is a list or a group.
func (f Form) mayBeEmpty() bool { return f.group != nil || f.schema["type"] == "array" }

// toSchema is the form's own schema, its caller's to add to.
func (f Form) toSchema() map[string]any {
	s := map[string]any{}
	for k, v := range f.schema {
		s[k] = v
	}
	switch {
	case f.group != nil && len(f.parts) > 0:
		narrow := map[string]any{f.group.Rows[0].Key: f.parts[0].toSchema()}
		s["anyOf"] = []any{f.parts[0].toSchema(), map[string]any{"$ref": "#/$defs/" + f.group.Name, "properties": narrow}}
	case f.group != nil:
		s["$ref"] = "#/$defs/" + f.group.Name
	case s["type"] == "array":
		s["items"] = f.parts[0].toSchema()
	case len(f.parts) > 0:
		ways := []any{}
		for _, p := range f.parts {
			ways = append(ways, p.toSchema())
		}
		s["anyOf"] = ways
	}
	return s
}
