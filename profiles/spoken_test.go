package profiles

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// How labels speak, in the languages in which such foam is sold (from memory).
func TestWhatAFoamSpeaksOf(t *testing.T) {
	c := shippedCatalog(t)
	cases := map[string]string{
		"vinyl sheet": "pvc", "Vinylschaum": "pvc", "espuma de vinilo": "pvc", "mousse vinylique": "pvc", "PVC-60": "pvc", "pvc60": "pvc", "п\u200bвх": "pvc", "ПВХ": "pvc",
		"聚氯乙烯泡沫": "pvc", "expanded PVC": "pvc", "polyvinyl chloride": "pvc", "V\u0456nyl": "pvc", "ｖｉｎｙｌ": "pvc", "vinyl, nitrile": "pvc nbr",
		"chlorinated polyethylene": "pe pvc", "CPE mat": "pvc",
		"polyurethane": "pu", "Polyurethanschaum": "pu", "poliuretano": "pu", "PU foam": "pu", "PUR 30": "pu", "memory foam": "pu", "viscoelastic": "pu", "ウレタン": "pu", "пенополиуретан": "pu",
		"neoprene": "cr", "Neoprenplatte": "cr", "néoprène": "cr", "chloroprene": "cr", "ネオプレン": "cr",
		"melamine": "melamine", "Melaminharz": "melamine", "silicone foam": "silicone", "Silikonschaum": "silicone",
		"nitrile": "nbr", "NBR": "nbr", "EPDM sheet": "epdm", "sponge rubber": "epdm", "phenolic": "phenolic", "Phenolharz": "phenolic", "polymethacrylimide": "pmi",
		"flame retardant": "fr", "flammhemmend": "fr", "fire-retarded PE": "pe fr", "ESD": "antistatic", "anti-static": "antistatic", "antistatisch": "antistatic",
		"conductive black": "conductive", "leitfähig": "conductive", "chalk-filled": "filled", "self-adhesive": "adhesive", "selbstklebend": "adhesive",
		"ethylene vinyl acetate": "eva", "Ethylen-Vinylacetat": "eva", "éthylène-acétate de vinyle": "eva", "EVA 90": "eva", "EVA with a vinyl face": "eva pvc",
		"PTFE": "unknown", "polystyrol": "xps eps", "expanded polystyrene": "eps", "neoprene rubber": "cr", "nitrile rubber": "nbr", "extruded polystyrene": "xps",
		"P.V.C. sheet": "pvc", "P V C": "pvc", "p-v-c": "pvc", "P. V. C.": "pvc", "E.P.P": "epp", "n.b.r": "nbr", "vi-nyl": "pvc", "neo-prene": "cr", "ure-thane": "pu", "ne\u2010o\u2011prene": "cr",
		"PVCfoam": "pvc", "softpvc": "pvc", "weichPVC": "pvc", "PVCu": "pvc", "softNBR": "nbr", "NBRfoam": "nbr", "Weich-EPDM": "epdm", "EPDMplatte": "epdm",
		"fireproof": "fr", "fire-resistant": "fr", "flame proof": "fr", "flame-resistant": "fr", "Moosgummi": "epdm", "moos-gummi": "epdm",
		"v\u0131nyl": "pvc", "ᴘᴠᴄ": "pvc", "ɴᴇᴏᴘʀᴇɴᴇ": "cr", "\u0420\u0474\u0421": "pvc", "Р\u0475С 60": "pvc", "\u13E2\u13D9\u13DF": "pvc", "P\u13D9C": "pvc", "РVС": "pvc", "nitгile": "nbr",
		"acetate-de-vinyle": "eva", "ethylene-vinyl-acetate": "eva", "cross-linked-polyethylene": "xpe", "cross linked": "",
		"sponge": "pu", "a soft sponge, grey": "pu", "upholstery foam": "pu", "Upholsterer's offcut": "pu", "yoga mat": "pvc nbr", "yogamat": "pvc nbr", "Yoga-Matte": "pvc nbr",
		"neoprene sponge": "cr", "EPDM sponge": "epdm", "silicone sponge": "silicone", "melamine sponge": "melamine", "Schwamm": "pu", "поролон": "pu",
		"XPS with HBCD": "xps fr", "hexabromocyclododecane": "fr", "PIR board": "pu", "P.I.R": "pu", "polyisocyanurate": "pu", "PCV": "pvc", "pcv-60": "pvc", "P C V": "pvc", "ether foam": "pu", "Ester-foam": "pu", "polyether": "pu", "ester PU": "pu",
		"polyethylene ester": "pe pu", "ethernet tray": "", "polyolefin tester, sheet for Chester": "", "pirate blue": "", "together": "", "a PCVX part": "",
		// and nothing
		"foam": "", "unbreakable": "", "inbred steinbruch": "", "open, a soft sheet": "", "rope and peg": "", "semi-rigid": "", "type A B C": "", "a-frame": "", "o p e n": "", "e-stop": "", "soft pad": "", "expute": "", "firm and rubbery": "", "a fine crib": "", "press here": "", "sheet 12": "",
	}
	for name, want := range cases {
		text := ""
		for _, s := range c.Speaks(Foam{ID: "x", Name: name}) {
			if text != "" {
				text += " "
			}
			text += s.Kind
		}
		assert.Equal(t, want, text, name)
	}
}

// Every text of a row is read; two letters count in ids and names, and in capitals
// elsewhere.
func TestEveryTextOfARowSpeaks(t *testing.T) {
	c := shippedCatalog(t)
	for place, f := range map[string]Foam{
		"id": {ID: "vinyl-mat"}, "name": {Name: "vinyl"}, "notes": {Notes: "cut from vinyl"}, "source": {Source: "the vinyl's label"},
		"stock source": {StockSource: "vinyl shop"}, "density": {DensityKgM3: Number{60, "the vinyl's data sheet"}}, "a fit": {Fits: map[string]Number{"easy": {1, "a vinyl fit"}}}, "left": {LeastLeftMM: Number{1, "vinyl"}},
		"taken apart": {Notes: "cut from vi-nyl"}, "cells": {Cells: Word{"open", "a vinyl shop"}},
	} {
		assert.Equal(t, []Spoken{{"pvc", "vinyl"}}, c.Speaks(f), place)
	}
	assert.Equal(t, []Spoken{{"pu", "pu"}}, c.Speaks(Foam{ID: "pu-mat"}))
	assert.Equal(t, []Spoken{{"pu", "pu"}}, c.Speaks(Foam{Notes: "PU, from the shop"}))
	assert.Empty(t, c.Speaks(Foam{Notes: "j'ai pu le couper"}))
	var none Catalog
	assert.Empty(t, none.Speaks(Foam{ID: "vinyl"}))
}

// A foam that ships speaks of its own kind and of no other: it is neither
// contradicted nor shut out by a rule about another kind.
func TestShippedFoamsSpeakTrue(t *testing.T) {
	c := shippedCatalog(t)
	for _, f := range c.Foams() {
		var kinds []string
		for _, s := range c.Speaks(f) {
			kinds = append(kinds, s.Kind)
		}
		assert.Equal(t, []string{f.Kind}, kinds, f.ID)
	}
}

// The list is part of the safety table: a folder of profiles does not change it.
func TestTheListOfWordsIsNotTheUsersToChange(t *testing.T) {
	_, err := with(t, "spoken:\n- {kind: pvc, parts: [nothing]}\n")
	assert.ErrorContains(t, err, "the safety table cannot be changed by profiles")
}
