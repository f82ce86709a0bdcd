package respond

import (
	"strconv"
	"testing"

	"commensal/internal/conflict"
)

// booksOf are books whose present one is at the pointer.
func booksOf(book **conflict.Book) Books {
	return Books{Current: func() *conflict.Book { return *book }, Version: "test"}
}

func TestACacheHoldsNoMoreBytesThanItMay(t *testing.T) {
	const most, answers, size = 1 << 20, 500, 10 << 10
	book := &conflict.Book{}
	c := NewCache[int](booksOf(&book), most)
	for i := range answers {
		c.Put(book, i, &Reply{Body: make([]byte, size)})
	}
	if held := c.Bytes(); held > most || held < most/2 {
		t.Errorf("%d bytes of at most %d are held", held, most)
	}
	found := 0
	for i := range answers {
		if _, ok := c.Get(book, i); ok {
			found++
		}
	}
	if found == 0 || found > most/size {
		t.Errorf("%d answers of %d bytes are held in %d", found, size, most)
	}
	if c.Put(book, -1, &Reply{Body: make([]byte, 2*most)}); c.Bytes() > most {
		t.Errorf("an answer of more than there is room for is held: %d bytes", c.Bytes())
	}
}

func TestACacheForgetsAnswersFromAnotherBook(t *testing.T) {
	old, fresh := &conflict.Book{}, &conflict.Book{}
	now := old
	c := NewCache[string](booksOf(&now), 1<<20)
	c.Put(old, "q", &Reply{Status: 1})
	now = fresh
	if _, ok := c.Get(fresh, "q"); ok {
		t.Error("an answer from the book before is given")
	}
	c.Put(fresh, "q", &Reply{Status: 2})
	c.Put(old, "q", &Reply{Status: 3}) // of a request that began before the change
	if r, ok := c.Get(fresh, "q"); !ok || r.Status != 2 {
		t.Errorf("a late answer took the place of the new ones: %v %+v", ok, r)
	}
}

func TestACacheOfNoBytesHoldsNothing(t *testing.T) {
	for _, most := range []int64{0, -1} {
		book := &conflict.Book{}
		c := NewCache[string](booksOf(&book), most)
		for i := range 10 {
			c.Put(book, strconv.Itoa(i), &Reply{})
		}
		if _, ok := c.Get(book, "9"); ok || c.Bytes() != 0 {
			t.Errorf("a cache of %d bytes holds %d", most, c.Bytes())
		}
	}
}
