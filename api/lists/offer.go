package lists

import (
	"encoding/json"
	"slices"
	"strconv"

	"commensal/api/gen"
	"commensal/api/wire"
)

// stockItem is a species on offer.
type stockItem struct {
	Species    string `json:"species"`
	PriceClass string `json:"price_class"`
}

// inStock reads what is on offer in the price classes asked for, and the class of each; nil
// where nothing is said of that. An offer of which nothing is left is empty and not nil: then
// nothing fits.
func (r *Reader) inStock(in *gen.AdditionsRequest) (offer []int, classes map[int]OnOffer) {
	var wanted []string
	if in.Filters != nil {
		wanted = wire.Value(in.Filters.PriceClass)
	}
	if in.InStock == nil {
		if wanted != nil {
			r.Impossible("/filters/price_class", "Price classes are asked for, and in_stock does not say what is on offer.", "add in_stock with a price_class for each species, or send a key that has stock:read")
		}
		return nil, nil
	}
	offer, classes = []int{}, map[int]OnOffer{}
	for i, raw := range *in.InStock {
		item, at := readStockItem(raw, "/in_stock/"+strconv.Itoa(i))
		index := r.Species(at, item.Species)
		if wanted != nil && !slices.Contains(wanted, item.PriceClass) {
			continue
		}
		offer = append(offer, index)
		if classes[index].PriceClass == "" {
			classes[index] = OnOffer{PriceClass: item.PriceClass}
		}
	}
	return offer, classes
}

// readStockItem reads a name alone or an object, and says where its name stands. The contract has
// let nothing else pass.
func readStockItem(raw gen.StockItem, at string) (item stockItem, name string) {
	if json.Unmarshal(raw, &item.Species) == nil {
		return item, at
	}
	item = stockItem{}
	if err := json.Unmarshal(raw, &item); err != nil {
		return stockItem{}, at
	}
	return item, at + "/species"
}
