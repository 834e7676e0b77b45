package profiles

import "reflect"

// IsOf reports whether a recipe is of the same foam, machine and tool.
func (r Recipe) IsOf(other Recipe) bool { return keyOf(r) == keyOf(other) }

// ShipsMachine reports whether a machine is, in all that it says but its measured scale, one that is
// part of the program.
func (c *Catalog) ShipsMachine(m Machine) bool {
	m.ScaleX, m.ScaleY, m.ScaleReadings = Number{}, Number{}, nil
	return c.shipped != nil && reflect.DeepEqual(m, c.shipped.machines[m.ID])
}

// ShipsRecipe reports whether a recipe is, in all that it says, one that is part of the
// program.
func (c *Catalog) ShipsRecipe(r Recipe) bool {
	known, ok := Recipe{}, false
	if c.shipped != nil {
		known, ok = c.shipped.recipes[keyOf(r)]
	}
	return ok && reflect.DeepEqual(known, r)
}
