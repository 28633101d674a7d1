// The slip under the table: what is pointed at, how it comes about, and the tape laid along it.

import { el, put } from './dom.js';

const HOVER = 70; // ms that something is pointed at before its working is asked for

export class Slip {
  constructor(box, tell, goTo, measuring) {
    this.box = box;
    this.tell = tell;
    this.goTo = goTo;
    this.isMeasuring = measuring;
    this.thing = null;
    this.pinned = false;
    this.places = ['start', 'end'];
    this.half = false; // the first place was pointed at and the second not yet
  }

  // Whether the tape lies along a part of the edge, and not just from end to end.
  get laid() {
    return this.half || this.places.join() !== 'start,end';
  }

  look(find) {
    this.find = find;
  }

  // Something is pointed at or has the focus. What was chosen stays until something else is.
  show(thing) {
    if (thing.hover && (this.pinned || this.isMeasuring())) return;
    if (!thing.hover) this.pinned = false;
    this.set(thing);
  }

  putAway() {
    this.thing = null;
    this.box.parentElement.classList.add('idle');
  }

  pin(thing) {
    this.pinned = true;
    this.set(thing);
  }

  set(thing) {
    const same = this.thing && ['kind', 'piece', 'name'].every(key => this.thing[key] === thing[key]);
    if (same) return;
    this.thing = thing;
    this.told = null;
    this.reading = null;
    if (!this.half) this.places = ['start', 'end'];
    this.draw();
    clearTimeout(this.later);
    this.later = setTimeout(() => this.ask(), HOVER);
  }

  ask() {
    if (!this.thing) return;
    this.tell({ do: 'ask', piece: this.thing.piece, name: this.thing.name });
    this.lay();
  }

  lay() {
    if (this.thing?.kind !== 'edge') return;
    const [start, end] = this.places;
    this.tell({ do: 'along', piece: this.thing.piece, edge: this.thing.name, start, end });
  }

  // After a drawing: the figures are new, the words mostly not.
  redrawn() {
    if (!this.thing) return;
    this.draw();
    this.lay();
    clearTimeout(this.later);
    this.later = setTimeout(() => this.tell({ do: 'ask', piece: this.thing.piece, name: this.thing.name }), 4 * HOVER);
  }

  working(m) {
    if (!this.thing || m.piece !== this.thing.piece || m.name !== this.thing.name) return;
    this.told = m;
    this.draw();
    if (this.due) { this.goTo(m.line, this.due === 'focus'); this.due = ''; }
  }

  measured(m) {
    if (!this.thing || m.piece !== this.thing.piece || m.edge !== this.thing.name) return;
    this.reading = m;
    this.draw();
  }

  toLine(focus) {
    if (this.told) { if (this.told.line) this.goTo(this.told.line, focus); } else this.due = focus ? 'focus' : 'show';
  }

  // --- the tape ----------------------------------------------------------------------------------

  measuring(on) {
    this.half = false;
    if (!on) return;
    put(this.box, [el('p', { textContent: 'Point at an edge where the tape is to begin, then on the same edge where it is to end.' })]);
    this.thing = null;
  }

  pointed(thing, at) {
    if (!this.isMeasuring() || thing.kind !== 'edge') return;
    const same = this.thing && this.thing.piece === thing.piece && this.thing.name === thing.name;
    if (this.half && same) { this.places = [this.places[0], at]; this.half = false; this.lay(); return; }
    this.half = true;
    this.places = [at, at];
    this.thing = null;
    this.set(thing);
  }

  // --- what it says --------------------------------------------------------------------------------

  draw() {
    const found = this.find?.(this.thing);
    if (!found) return;
    const keep = document.activeElement?.dataset?.keep;
    this.box.parentElement.classList.remove('idle');
    put(this.box, [...this.head(found), ...this.tapeRow(), ...this.steps()]);
    if (keep) this.box.querySelector(`[data-keep="${keep}"]`)?.focus();
  }

  head(found) {
    const told = this.told, parts = [];
    const title = el('p', { className: 'what' }, el('strong', { textContent: found.said }), ` of the ${found.title.toLowerCase()}`);
    if (found.length) title.append(el('b', { className: 'length', textContent: found.length }));
    parts.push(title);
    if (told?.sentence) parts.push(el('p', { className: 'sentence', textContent: told.sentence }));
    const facts = [found.allow && `Allowance ${found.allow}`, found.letters?.length && `seam ${found.letters.join(', ')}`, told?.elsewhere && `in ${told.elsewhere}`];
    const row = el('p', { className: 'quiet', textContent: facts.filter(Boolean).join('; ') });
    if (told?.line) row.append(' ', button('line', `Go to line ${told.line}`, () => this.goTo(told.line, true), 'link'));
    parts.push(row);
    if (told?.statement) parts.push(el('p', { className: 'statement' }, el('code', { textContent: told.statement })));
    return parts;
  }

  steps() {
    const lines = (this.told?.lines ?? []).slice(1);
    if (!lines.length) return [];
    const list = el('ul', { className: 'steps' }, ...lines.map(([depth, words, line]) => {
      const item = el('li', { className: `d${depth}`, textContent: words.replaceAll('_', ' ') });
      if (line) item.append(' ', button(`step${line}${words.slice(0, 20)}`, `line ${line}`, () => this.goTo(line, true), 'link'));
      return item;
    }));
    return [el('details', { open: this.opened ?? false, ontoggle: event => { this.opened = event.target.open; } }, el('summary', { textContent: 'How it comes about' }), list)];
  }

  tapeRow() {
    const r = this.reading;
    if (this.thing?.kind !== 'edge' || !r) return [];
    const chooser = (index, label) => {
      const place = this.places[index], given = Array.isArray(place);
      const options = r.stations.map(([name, said, along]) => el('option', { value: name, textContent: `${said} (${along})`, selected: name === place }));
      if (given) options.push(el('option', { value: '', textContent: `pointed at (${index ? r.to : r.from})`, selected: true }));
      const select = el('select', { onchange: event => { this.places[index] = event.target.value; this.half = false; this.lay(); } }, ...options);
      select.dataset.keep = `tape${index}`;
      return el('label', {}, `${label} `, select);
    };
    const said = this.half ? 'now point at where the tape is to end' : r.along;
    return [el('p', { className: 'tape-row' }, chooser(0, 'Along it from'), chooser(1, 'to'), el('output', { textContent: said }),
      r.straight && r.straight !== r.along && !this.half ? el('span', { className: 'quiet', textContent: ` (${r.straight} straight)` }) : '')];
  }
}

function button(keep, words, onclick, look = '') {
  const made = el('button', { textContent: words, onclick, className: look });
  made.dataset.keep = keep;
  return made;
}
