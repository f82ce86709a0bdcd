package packed

import (
	"encoding/binary"
	"math"
)

// coder goes through a catalogue in one direction: it writes what it meets, or fills it in. So the
// two directions cannot come apart.
type coder struct {
	reading bool
	damaged bool // of reading: the rest means nothing

	out     []byte         // written
	numbers map[string]int // of the texts written before, from 1

	in    string   // yet to be read
	texts []string // read, by number from 1
}

// count goes through a number from 0 up: seven bits to a byte, the least first.
func (c *coder) count(n int) int {
	if !c.reading {
		c.out = binary.AppendUvarint(c.out, uint64(n))
		return n
	}
	return int(c.uvarint())
}

func (c *coder) uvarint() (n uint64) {
	for i := range min(len(c.in), binary.MaxVarintLen64) {
		b := c.in[i]
		n |= uint64(b&0x7f) << (7 * i)
		if b < 0x80 {
			c.in = c.in[i+1:]
			return n
		}
	}
	c.fail()
	return 0
}

func (c *coder) fail() { c.damaged, c.in = true, "" }

// length goes through the number of things that follow, of which each takes a byte at least.
func (c *coder) length(n int) int {
	if n = c.count(n); c.reading && (n < 0 || n > len(c.in)) {
		c.fail()
		return 0
	}
	return n
}

// number goes through a number. One with at most three decimals, as nearly all are, is written as a
// count of thousandths, from 1; before any other stands a 0.
func (c *coder) number(x *float64) {
	if c.reading {
		if n := c.uvarint(); n > 0 {
			*x = float64(n-1) / thousand
			return
		}
		if len(c.in) < 8 {
			c.fail()
			return
		}
		*x = math.Float64frombits(binary.LittleEndian.Uint64([]byte(c.in[:8])))
		c.in = c.in[8:]
		return
	}
	n := math.Round(*x * thousand)
	if n >= 0 && n < maxThousandths && math.Float64bits(float64(uint64(n))/thousand) == math.Float64bits(*x) {
		c.out = binary.AppendUvarint(c.out, uint64(n)+1)
		return
	}
	c.out = binary.LittleEndian.AppendUint64(append(c.out, 0), math.Float64bits(*x))
}

const (
	thousand       = 1000
	maxThousandths = 1 << 50 // more would lose digits
)

// flag goes through a yes or no.
func (c *coder) flag(yes *bool) {
	n := 0
	if *yes {
		n = 1
	}
	*yes = c.count(n) == 1
}

// small goes through a value of one byte.
func small[T ~uint8](c *coder, x *T) {
	n := c.count(int(*x))
	if n > math.MaxUint8 {
		c.fail()
		return
	}
	*x = T(n)
}

// text goes through a text: its number where it came before, else 0 and the text itself.
func text[T ~string](c *coder, x *T) {
	if c.reading {
		*x = T(c.read())
		return
	}
	s := string(*x)
	if n, known := c.numbers[s]; known {
		c.count(n)
		return
	}
	c.numbers[s] = len(c.numbers) + 1
	c.count(0)
	c.count(len(s))
	c.out = append(c.out, s...)
}

func (c *coder) read() string {
	n := c.uvarint()
	if n > 0 {
		if n > uint64(len(c.texts)) {
			c.fail()
			return ""
		}
		return c.texts[n-1]
	}
	size := c.length(0)
	s := c.in[:size]
	c.in = c.in[size:]
	c.texts = append(c.texts, s)
	return s
}

// list goes through a list, each item by each.
func list[T any](c *coder, items *[]T, each func(*coder, *T)) {
	n := c.length(len(*items))
	if c.reading && n > 0 {
		*items = make([]T, n)
	}
	for i := range *items {
		each(c, &(*items)[i])
	}
}
