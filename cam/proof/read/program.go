// Package read turns RS-274/NGC text into steps, strictly, and says what is wrong
// with the text. It knows nothing of who wrote it. Source: NISTIR 6556 (Kramer,
// Proctor, Messina, 2000).
package read

import (
	"bytes"
	"cmp"
	"strings"

	"traywright/cam/finding"
)

// Program reads a program strictly, by NISTIR 6556 sections 3.3 to 3.8, and
// follows it. It never fails: what is wrong is in the trace's findings, and a
// line with an error is not executed, so that one fault can be told from the
// next; a trace with errors is good for a picture and for nothing else.
//
// Beyond the standard it reads, with a warning: comments after ;, a byte-order
// mark, G91.1, G90.1, whole circles without X and Y. Arcs in the planes of G18 and
// G19 become chords. At what it does not follow it
// ends, with one error, and nothing behind it is claimed (Trace.Unfollowed):
// cutter compensation, probing, threads, cycles other than G81 to G83, G10,
// a second work offset, parameters, expressions, subroutines, rotary axes, and
// every code that it does not know.
func Program(text []byte, opt Options) Trace {
	r := newReader(opt)
	limit := opt.MaxBytes
	if limit == 0 {
		limit = defaultBytes
	}
	if len(text) > limit {
		r.fail(1, problemf("too-large", "the program has %d bytes, and %d (%d MiB) are the most that is read", len(text), limit, limit>>20).do("split it"))
		return r.trace
	}
	if rest, found := bytes.CutPrefix(text, []byte("\ufeff")); found {
		r.warn(1, problemf("byte-order-mark", "the file begins with a byte-order mark, which a controller may refuse").do("save it as plain ASCII"))
		text = rest
	}
	text, marked := bytes.CutSuffix(text, []byte(endMark))
	r.lines(text)
	if marked {
		r.warn(max(r.trace.Lines, 1), problemf("end-mark", "the file ends with an old mark for its end (0x1A), which a controller may refuse").do("save it as plain text"))
	}
	r.finish()
	return r.trace
}

// endMark is the character that old systems closed a text file with.
const endMark = "\x1a"

// lines executes the text line by line up to the program's end.
func (r *reader) lines(text []byte) {
	limit := r.opt.MaxLines
	if limit == 0 {
		limit = defaultLines
	}
	if !r.opt.Head {
		r.trace.Steps = make([]Step, 0, min(limit, bytes.Count(text, []byte{'\n'})+1))
	}
	for len(text) > 0 && !r.stopped {
		if r.trace.Lines >= limit {
			r.fail(limit, problemf("too-large", "the program has more than %d lines, and that is the most that is read", limit).do("split it"))
			r.giveUp(limit)
			return
		}
		var line []byte
		line, text = cutLine(text)
		r.trace.Lines++
		r.line(string(line), r.trace.Lines)
		r.stopped = r.stopped || r.opt.Head && len(r.trace.Steps) > 0
	}
}

// cutLine splits text after its first line end: LF, or CR LF. Any other CR stays in its
// line, which is wrong for that: see mixedEnds.
func cutLine(text []byte) (line, rest []byte) {
	line, rest, ended := bytes.Cut(text, []byte{'\n'})
	if ended {
		line = bytes.TrimSuffix(line, []byte{'\r'})
	}
	return line, rest
}

// mixedEnds refuses a CR that is no part of a line end of CR and LF. A PC controller reads
// on past it and a small one begins a line there (from memory): what is a comment to the
// one is a command to the other.
func mixedEnds(text string) *problem {
	if strings.IndexByte(text, '\r') < 0 {
		return nil
	}
	return problemf("mixed-line-ends", "line ends are mixed: the line holds a CR without its LF, where one controller begins a new line and another reads on").
		do("save the file with one kind of line end throughout, LF or CR LF")
}

// maxLine is the most characters of a line (NISTIR 6556 3.3).
const maxLine = 256

// line reads and executes one line.
func (r *reader) line(text string, number int) {
	if p := mixedEnds(text); p != nil {
		r.begun = true
		r.fail(number, p)
		return
	}
	if len(text) > maxLine {
		r.fail(number, problemf("line-too-long", "the line has %d characters and may have %d", len(text), maxLine).do("split it"))
		return
	}
	bare := strings.Trim(text, " \t")
	if bare == "" {
		return
	}
	if p := r.opt.Dialect.idle(bare); p != nil {
		r.begun = true
		r.once(number, p, finding.Note)
		return
	}
	if r.opt.Dialect == Small && len(text) > mostSmall {
		r.warn(number, problemf("long-comment", "the line has %d characters with its comment: a small controller counts %d without, and what sends it may not", len(text), mostSmall).do("make the comment shorter, or two lines of it"))
	}
	if p := r.opt.Dialect.checkLine(text); p != nil {
		r.begun = true
		r.fail(number, p)
		return
	}
	if bare == "%" {
		r.percent(number)
		return
	}
	first := !r.begun
	r.begun = true
	b, p := parseBlock(text, number)
	if p == nil {
		p = r.opt.Dialect.checkBlock(&b)
	}
	if r.trace.End.Line > 0 {
		r.behindEnd(b, p)
		return
	}
	if first && p != nil && strings.HasPrefix(bare, "%") {
		p = problemf("bad-percent", "a %% must stand alone on its line").do("move the rest to the next line, or remove the %%")
	}
	if p != nil {
		r.fail(number, p)
		return
	}
	r.take(b)
}

// mostBeside is how many comments are kept at most of those that stand beside a command: a
// header and a list of tools have fewer, and a long program may have one on every line.
const mostBeside = 1000

// take files a block's comments and executes it.
func (r *reader) take(b block) {
	alone := len(b.g)+len(b.m) == 0 && b.present == 0
	for _, c := range b.comments {
		if alone || len(r.trace.Comments) < mostBeside {
			r.trace.Comments = append(r.trace.Comments, Comment{b.line, r.kept(c), alone})
		}
	}
	for _, h := range b.habits {
		r.warn(b.line, &h)
	}
	if b.deleted {
		if r.opt.BlockDelete {
			return
		}
		if r.trace.Skipped == 0 {
			r.trace.Skipped = b.line
		}
	}
	codes := len(r.trace.Codes)
	if p := r.execute(&b); p != nil {
		if p.stops {
			r.trace.Codes = r.trace.Codes[:codes]
		}
		r.fail(b.line, p)
	}
	if len(r.trace.Steps) > maxSteps && !r.stopped {
		r.fail(b.line, problemf("too-large", "the program's drilling cycles stand for more than %d moves, and that is the most that is followed", maxSteps).do("split it"))
		r.giveUp(b.line)
	}
}

// kept is a comment of its own, without the line that it stands on: the same text once,
// as programs say the same again and again.
func (r *reader) kept(text string) string {
	if same, ok := r.texts[text]; ok {
		return same
	}
	text = strings.Clone(text)
	if len(r.texts) < mostTexts {
		r.texts[text] = text
	}
	return text
}

// mostTexts is how many comments are known again.
const mostTexts = 10_000

// percent is a line with a lone %: the first opens the program if nothing came
// before it, the second closes it (NISTIR 6556 3.1).
func (r *reader) percent(number int) {
	switch {
	case !r.begun:
		r.begun, r.demarcated = true, true
	case r.demarcated:
		if !r.closed && r.trace.End.Line == 0 {
			r.trace.End = End{Line: number, Spin: r.spin}
		}
		if r.closed { // some controllers begin another program there
			r.trace.End.Behind = cmp.Or(r.trace.End.Behind, number)
		}
		r.closed = true
	case r.trace.End.Line > 0:
		r.trace.End.Behind = cmp.Or(r.trace.End.Behind, number)
	default:
		r.fail(number, problemf("bad-percent", "a %% that does not open the program").do("remove it, or begin the file with one"))
	}
}

// behindEnd is a line behind M2 or M30: no controller executes it that reads a
// whole file, and those do that are sent line after line.
func (r *reader) behindEnd(b block, p *problem) {
	says := p != nil || b.present != 0 || len(b.g)+len(b.m) > 0
	if says && r.trace.End.Behind == 0 {
		r.trace.End.Behind = b.line
	}
	if says && (r.closed || !r.demarcated) {
		r.stopped = true
	}
}

// finish checks that the program ends as it must.
func (r *reader) finish() {
	switch {
	case r.trace.Unfollowed > 0 || r.stopped && !r.closed && r.trace.End.Line == 0: // given up before the end, or but the head was asked for
	case r.demarcated && !r.closed:
		r.fail(r.trace.Lines, problemf("no-end", "the file begins with %% and has no second one").do("look whether the file is whole, then add %% as its last line"))
	case r.trace.End.Line == 0 && r.opt.Dialect == Printer: // which has no word for it
		r.trace.End = End{Line: max(r.trace.Lines, 1), Word: true, Spin: r.spin}
	case r.trace.End.Line == 0:
		r.fail(max(r.trace.Lines, 1), problemf("no-end", "the program has no M2 or M30, and may be cut short").do("write the file again; where it is whole, add M2 as its last line"))
	}
	r.settleTools()
}

// fail adds an error, and stops reading when there are too many.
func (r *reader) fail(line int, p *problem) {
	r.trace.Findings = append(r.trace.Findings, p.finding(line, finding.Error))
	r.errors++
	if p.stops {
		r.giveUp(line)
		return
	}
	if r.errors == maxFindings {
		many := problemf("too-many-findings", "%d errors so far; the rest of the program was not read", r.errors).do("put the first of them right; the others may come from it")
		r.trace.Findings = append(r.trace.Findings, many.finding(line, finding.Error))
		r.giveUp(line)
	}
}

// giveUp ends the reading before the program's end.
func (r *reader) giveUp(line int) { r.trace.Unfollowed, r.stopped = line, true }

// warn adds a warning, once a rule.
func (r *reader) warn(line int, p *problem) { r.once(line, p, finding.Warning) }

func (r *reader) once(line int, p *problem, s finding.Severity) {
	if r.warned[p.rule] {
		return
	}
	r.warned[p.rule] = true
	r.trace.Findings = append(r.trace.Findings, p.finding(line, s))
}
