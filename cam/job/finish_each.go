package job

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/profiles/strict"
)

// eachCase makes a tray for each case out of every template that asks for it, and names it in the case's stack.
func (f *finisher) eachCase() {
	var list []trayDraft
	for _, t := range f.draft.trays {
		if t.eachAt.Line == 0 {
			list = append(list, t)
			continue
		}
		list = append(list, f.oneForEach(t)...)
	}
	f.draft.trays = list
	clear(f.trays)
	for i := range list {
		if t := &list[i]; f.trays[t.ID] == nil {
			f.trays[t.ID] = t
		}
	}
}

// oneForEach are the trays that a template makes.
func (f *finisher) oneForEach(template trayDraft) (list []trayDraft) {
	if len(f.draft.cases) == 0 {
		f.Fail(template.eachAt, "each-without-cases", f.name(&template)+" is to be made for each case, and the job has none", "list the `cases`, or take `each` out")
		return []trayDraft{template}
	}
	for i := range f.draft.cases {
		c := &f.draft.cases[i]
		if slices.ContainsFunc(f.draft.cases[:i], func(d caseDraft) bool { return d.Name == c.Name }) {
			continue // which is told
		}
		id := template.ID + "-" + Slug(c.Name)
		if len(c.Stack) > 0 && !slices.Contains(c.Stack, template.ID) {
			f.Warn(c.Position, "each-not-stacked", fmt.Sprintf("case %s has no %s in its stack, so none is made for it", finding.Quote(c.Name), template.ID), "write "+template.ID+" into its `stack`, where it lies")
			continue
		}
		for k, stacked := range c.Stack {
			if stacked == template.ID {
				c.Stack[k] = id
			}
		}
		if !f.takeIDs(&template, id, c.Name) {
			continue
		}
		one := template
		one.ID, one.Case, one.again = id, c.Name, len(list) > 0
		list = append(list, one)
	}
	return list
}

// takeIDs takes the id that a template's tray for a case has, and those of its halves.
func (f *finisher) takeIDs(template *trayDraft, id, name string) bool {
	if !strict.IsID(id) {
		f.Fail(template.idAt, "bad-id", fmt.Sprintf("the tray %s for the case %s would have the id %s, which is too long", template.ID, finding.Quote(name), finding.Quote(id)), "give the template a shorter id")
		return false
	}
	ids := []string{id}
	if template.Halves == 2 {
		ids = append(ids, id+"-1", id+"-2")
	}
	for _, one := range ids {
		at, taken := f.ids[one]
		if !taken {
			f.ids[one] = template.idAt
			continue
		}
		f.Fail(template.idAt, "each-clash", fmt.Sprintf("the tray %s for the case %s would have the id %s, which is taken in line %d", template.ID, finding.Quote(name), finding.Quote(one), at.Line),
			"give the case a name that differs in a-z or 0-9, or the template another id")
		return false
	}
	return true
}

// madeFor are the trays made for a case whose stack is yet to be chosen.
func (f *finisher) madeFor(c *Case) (ids []string) {
	for i := range f.draft.trays {
		if t := &f.draft.trays[i]; len(c.Stack) == 0 && t.Case != "" && t.Case == c.Name {
			ids = append(ids, t.ID)
		}
	}
	return ids
}

var notSlug = regexp.MustCompile(`[^a-z0-9]+`)

// Slug is a name as part of a tray's id.
func Slug(name string) string {
	s := strings.Trim(notSlug.ReplaceAllString(strings.ToLower(name), "-"), "-")
	if len(s) > 24 {
		s = strings.Trim(s[:24], "-")
	}
	if s == "" {
		return "case"
	}
	return s
}
