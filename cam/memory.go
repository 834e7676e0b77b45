package cam

import (
	"cmp"
	"crypto/sha256"
	"encoding/binary"
	"hash"
	"math"
	"reflect"
	"slices"
	"sync"

	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/profiles"
)

// Memory is what the last run of a request worked out, for the next: each by the content of all
// that it was worked out from, so that nothing in it can be out of date. The nil Memory works all
// out anew. A page that shows each step of a hand plans a job again and again, and most of its
// sheets are what they were.
type Memory struct {
	mu        sync.Mutex
	straights [2]map[contentSum]map[string]float64 // of this run, and of the one before it
}

// next begins a run: what neither this nor the last one asked for is forgotten.
func (m *Memory) next() {
	if m != nil {
		m.mu.Lock()
		defer m.mu.Unlock()
		m.straights = [2]map[contentSum]map[string]float64{{}, m.straights[0]}
	}
}

// straight is how far the operations of a sheet's program go straight down, by name.
func (m *Memory) straight(sheet plan.Sheet, machine profiles.Machine) map[string]float64 {
	if m == nil {
		return straightAnew(sheet, machine)
	}
	sum := sumOfContent(sheet, machine)
	m.mu.Lock()
	list, known := m.straights[0][sum]
	if !known {
		list, known = m.straights[1][sum]
	}
	m.mu.Unlock()
	if !known {
		list = straightAnew(sheet, machine)
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	m.straights[0][sum] = list
	return list
}

// straightAnew lays the sheet's paths out; of one that has none there is nothing to tell.
func straightAnew(sheet plan.Sheet, machine profiles.Machine) map[string]float64 {
	program, err := process.Make(sheet, machine, toleranceMM)
	if err != nil {
		return nil
	}
	return straightsOf(program)
}

// contentSum names values by what stands in them.
type contentSum [sha256.Size]byte

// sumOfContent is the sum of all that stands in values, to the last bit and in fields that are
// not exported too. It panics at a function or a channel, which nobody can look into, and at a map
// whose keys are no texts.
func sumOfContent(values ...any) (sum contentSum) {
	w := contentWriter{Hash: sha256.New()}
	for _, v := range values {
		w.value(reflect.ValueOf(v))
	}
	w.flush()
	w.Sum(sum[:0])
	return sum
}

type contentWriter struct {
	hash.Hash
	held []byte // not yet written
}

func (w *contentWriter) flush() {
	w.Write(w.held)
	w.held = w.held[:0]
}

func (w *contentWriter) number(n uint64) {
	if w.held = binary.LittleEndian.AppendUint64(w.held, n); len(w.held) > 4096 {
		w.flush()
	}
}

func (w *contentWriter) text(s string) {
	w.number(uint64(len(s)))
	w.held = append(w.held, s...)
}

func (w *contentWriter) value(v reflect.Value) {
	switch k := v.Kind(); k {
	case reflect.Bool:
		if v.Bool() {
			w.number(1)
		} else {
			w.number(0)
		}
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		w.number(uint64(v.Int()))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		w.number(v.Uint())
	case reflect.Float64, reflect.Float32:
		w.number(math.Float64bits(v.Float()))
	case reflect.String:
		w.text(v.String())
	case reflect.Struct:
		for i := range v.NumField() {
			w.value(v.Field(i))
		}
	case reflect.Array, reflect.Slice:
		w.number(uint64(v.Len()))
		for i := range v.Len() {
			w.value(v.Index(i))
		}
	case reflect.Map:
		w.mapped(v)
	case reflect.Pointer, reflect.Interface:
		w.behind(v)
	default:
		panic("no content to sum: " + v.Type().String())
	}
}

// mapped takes a map in the order of its keys, which are texts.
func (w *contentWriter) mapped(v reflect.Value) {
	if v.Type().Key().Kind() != reflect.String {
		panic("no order of keys to sum: " + v.Type().String())
	}
	keys := v.MapKeys()
	slices.SortFunc(keys, func(a, b reflect.Value) int { return cmp.Compare(a.String(), b.String()) })
	w.number(uint64(len(keys)))
	for _, k := range keys {
		w.text(k.String())
		w.value(v.MapIndex(k))
	}
}

// behind takes what a pointer or an interface leads to.
func (w *contentWriter) behind(v reflect.Value) {
	if v.IsNil() {
		w.number(0)
		return
	}
	w.text(v.Elem().Type().String())
	w.value(v.Elem())
}
