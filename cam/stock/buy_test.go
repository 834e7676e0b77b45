package stock_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/stock"
)

var sold = [][2]float64{{1000, 500}, {500, 500}}

// By hand: blanks of 250 x 250 lie eight on a sheet of 1000 x 500 and four on half of one; a
// knife takes nothing. The cheaper is the smaller sheet, as long as it suffices.
func TestBuyByHand(t *testing.T) {
	blank := func(l, w float64, n int) stock.Blank {
		return stock.Blank{Foam: "pe-30", ThicknessMM: 25.4, SizeMM: [2]float64{l, w}, Count: n, Sold: sold}
	}
	whole := func(n int) stock.Purchase {
		return stock.Purchase{Foam: "pe-30", ThicknessMM: 25.4, SizeMM: sold[0], Count: n}
	}
	half := stock.Purchase{Foam: "pe-30", ThicknessMM: 25.4, SizeMM: sold[1], Count: 1}
	other := blank(100, 100, 1)
	other.Foam, other.ThicknessMM = "eva-45", 3
	nobody := blank(100, 90, 2)
	nobody.Sold = nil
	for _, c := range []struct {
		name   string
		blanks []stock.Blank
		list   []stock.Purchase
		waste  float64
	}{
		{"nothing", nil, nil, 0},
		{"a half suffices", []stock.Blank{blank(250, 250, 4)}, []stock.Purchase{half}, 0},
		{"a whole and a half", []stock.Blank{blank(250, 250, 12)}, []stock.Purchase{whole(1), half}, 0},
		{"several rows of one foam", []stock.Blank{blank(250, 250, 7), blank(500, 100, 2)}, []stock.Purchase{whole(1), half}, 1 - (7*62500+2*50000)/750000.0},
		{"turned", []stock.Blank{blank(400, 900, 1)}, []stock.Purchase{whole(1)}, 1 - 0.72},
		{"a tenth of a mm too wide", []stock.Blank{blank(250.1, 250, 4)}, []stock.Purchase{whole(1)}, 1 - 4*250.1*250/500000},
		{"larger than any sheet", []stock.Blank{blank(1001, 400, 2)}, []stock.Purchase{{Foam: "pe-30", ThicknessMM: 25.4, SizeMM: [2]float64{1001, 400}, Count: 2, Blank: true}}, 0},
		{"sold in no size that is known", []stock.Blank{nobody}, []stock.Purchase{{Foam: "pe-30", ThicknessMM: 25.4, SizeMM: [2]float64{100, 90}, Count: 2, Blank: true}}, 0},
		{"foams apart", []stock.Blank{blank(500, 500, 1), other}, []stock.Purchase{half, {Foam: "eva-45", ThicknessMM: 3, SizeMM: sold[1], Count: 1}}, 1 - (25.4*250000+3*10000)/(28.4*250000)},
	} {
		list, waste, err := stock.Buy(context.Background(), c.blanks)
		require.NoError(t, err, c.name)
		assert.Equal(t, c.list, list, c.name)
		assert.InDelta(t, c.waste, waste, 1e-9, c.name)
	}
}

// What is bought is never less than what is needed, and all of it is of a size that is sold or
// of the blank's own.
func TestBuyIsEnough(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var blanks []stock.Blank
		need := 0.0
		for range rapid.IntRange(1, 5).Draw(t, "rows") {
			b := stock.Blank{Foam: "pe-30", ThicknessMM: 20, Count: rapid.IntRange(1, 6).Draw(t, "count"), Sold: sold}
			for i := range b.SizeMM {
				b.SizeMM[i] = rapid.Float64Range(20, 700).Draw(t, "side")
			}
			blanks = append(blanks, b)
			need += float64(b.Count) * b.SizeMM[0] * b.SizeMM[1]
		}
		list, waste, err := stock.Buy(context.Background(), blanks)
		require.NoError(t, err)
		got, sheets := 0.0, 0
		for _, p := range list {
			got += float64(p.Count) * p.SizeMM[0] * p.SizeMM[1]
			sheets += p.Count
			require.True(t, p.Blank || p.SizeMM == sold[0] || p.SizeMM == sold[1])
		}
		require.GreaterOrEqual(t, got, need*(1-1e-4))
		require.InDelta(t, 1-need/got, waste, 1e-4)
		require.Positive(t, sheets)
	})
}

// A million of a blank, four to a sheet, are a quarter of a million sheets, at once.
func TestBuyAMillion(t *testing.T) {
	b := stock.Blank{Foam: "pe-30", ThicknessMM: 20, SizeMM: [2]float64{250, 250}, Count: 1_000_000, Sold: sold[1:]}
	list, waste, err := stock.Buy(context.Background(), []stock.Blank{b})
	require.NoError(t, err)
	assert.Equal(t, []stock.Purchase{{Foam: "pe-30", ThicknessMM: 20, SizeMM: sold[1], Count: 250_000}}, list)
	assert.InDelta(t, 0, waste, 1e-9)
}
