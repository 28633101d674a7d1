// Sliders and fields for measures and choices. What the page says over the card can be taken back one by one.

import { read, send, show, step } from './amounts.js';
import { el, put } from './dom.js';

const MOST_STEPS = 2000;

// One amount: a field for what a maker writes, and a slider where there is a range.
class Amount {
  constructor(kind, data, unit, change, goTo) {
    Object.assign(this, { kind, data, unit, change, set: null });
    const id = `${kind}-${data.name.replaceAll(' ', '-')}`;
    this.field = el('input', { id, type: 'text', inputMode: 'text', size: 9, autocomplete: 'off' });
    this.field.setAttribute('aria-describedby', `${id}-s`);
    this.field.onchange = () => this.written();
    this.undo = el('button', { className: 'undo', textContent: '↺', hidden: true, onclick: () => { this.say(null); this.field.focus(); } });
    this.undo.setAttribute('aria-label', `${data.title}: back to what it was`);
    this.undo.title = 'Back to what it was';
    this.sentence = el('p', { id: `${id}-s`, className: 'quiet' });
    this.box = el('div', { className: 'control' },
      el('div', { className: 'row' }, el('label', { htmlFor: id, textContent: data.title }), this.undo, this.field));
    if (data.low !== null && data.high !== null) {
      this.slider = el('input', { type: 'range', min: 0 });
      this.slider.setAttribute('aria-label', data.title);
      this.slider.setAttribute('aria-describedby', `${id}-s`);
      this.slider.oninput = () => this.slid(true);
      this.slider.onchange = () => this.slid(false);
      this.box.append(this.slider);
    }
    this.box.append(this.sentence);
    this.reunit(unit);
  }

  get value() {
    return this.set ?? this.data.value ?? this.byRule ?? null;
  }

  reunit(unit) {
    this.unit = unit;
    if (this.slider) {
      const { tag, low, high } = this.data;
      let size = step(tag, unit, this.kind === 'choices');
      while ((high - low) / size > MOST_STEPS) size *= 2;
      this.size = size;
      this.first = Math.ceil(low / size - 1e-6);
      this.slider.max = Math.max(0, Math.floor(high / size + 1e-6) - this.first);
    }
    this.draw();
  }

  slid(held) {
    this.say((this.first + Number(this.slider.value)) * this.size, held);
  }

  written() {
    const text = this.field.value.trim();
    if (!text) { this.say(null); return; }
    const value = read(text, this.data.tag, this.unit);
    if (value !== null) this.set = value;
    this.change(this.kind, this.data.name, text);
    if (value !== null) this.draw();
    this.undo.hidden = false;
  }

  say(value, held = false) {
    this.set = value;
    this.change(this.kind, this.data.name, value === null ? null : send(value, this.data.tag), held);
    this.draw();
  }

  draw() {
    const { tag, low, high, sentence, ruled, rule } = this.data, value = this.value;
    const words = value === null ? '' : show(value, tag, this.unit);
    this.field.value = words;
    this.field.placeholder = value === null ? 'not taken' : '';
    this.undo.hidden = this.set === null;
    const byRule = this.kind === 'measures' && this.set === null && this.data.value === null && ruled;
    this.box.classList.toggle('lacking', value === null && !ruled);
    this.box.classList.toggle('changed', this.set !== null);
    const range = low !== null && high !== null ? `${this.kind === 'choices' ? 'from' : 'usually'} ${show(low, tag, this.unit)} to ${show(high, tag, this.unit)}` : '';
    const said = [byRule ? `By the recipe’s rule: ${rule.replaceAll('_', ' ')}` : '', sentence, range].map(text => text.replace(/\.$/, ''));
    this.sentence.textContent = said.filter(Boolean).join('; ');
    if (this.slider) {
      this.slider.value = value === null ? this.slider.max / 2 : Math.round(value / this.size) - this.first;
      this.slider.setAttribute('aria-valuetext', words || 'not taken');
    }
  }
}

// One of several words, or yes or no.
class Pick {
  constructor(data, change) {
    Object.assign(this, { data, change, set: null });
    const id = `choices-${data.name}`;
    const words = data.words ?? ['yes', 'no'];
    this.select = el('select', { id, onchange: () => this.say(this.select.value) }, ...words.map(w => el('option', { value: w, textContent: w.replaceAll('_', ' ') })));
    this.undo = el('button', { className: 'undo', textContent: '↺', hidden: true, onclick: () => { this.say(null); this.select.focus(); } });
    this.undo.setAttribute('aria-label', `${data.title}: back to what it was`);
    this.undo.title = 'Back to what it was';
    this.box = el('div', { className: 'control' }, el('div', { className: 'row' }, el('label', { htmlFor: id, textContent: data.title }), this.undo, this.select));
    if (data.sentence) {
      this.box.append(el('p', { id: `${id}-s`, className: 'quiet', textContent: data.sentence }));
      this.select.setAttribute('aria-describedby', `${id}-s`);
    }
    this.draw();
  }

  say(word) {
    this.set = word;
    this.change('choices', this.data.name, word);
    this.draw();
  }

  reunit() {}

  draw() {
    const { value } = this.data;
    this.select.value = this.set ?? (value === true ? 'yes' : value === false ? 'no' : value);
    this.undo.hidden = this.set === null;
    this.box.classList.toggle('changed', this.set !== null);
  }
}

export class Controls {
  constructor(measures, choices, change, goTo) {
    Object.assign(this, { boxes: { measures, choices }, change, goTo, made: { measures: new Map(), choices: new Map() } });
  }

  // New controls, where the recipe or the body has others; what the page has said over them stays.
  take(message, wish) {
    this.unit = message.unit;
    for (const kind of ['measures', 'choices']) {
      const before = this.made[kind], now = new Map();
      for (const data of message[kind]) {
        const old = before.get(data.name), same = old && JSON.stringify(old.data) === JSON.stringify(data);
        const control = same ? old : this.make(kind, data);
        if (!same && old && data.name in wish[kind]) { control.set = old.set; control.draw(); }
        now.set(data.name, control);
      }
      for (const name of Object.keys(wish[kind])) if (!now.has(name)) delete wish[kind][name];
      this.made[kind] = now;
      const shown = [...now.values()].map(control => control.box);
      const old = [...this.boxes[kind].children];
      if (shown.length !== old.length || shown.some((box, i) => box !== old[i])) put(this.boxes[kind], shown.length ? shown : [el('p', { className: 'quiet', textContent: kind === 'measures' ? 'This recipe takes no measures.' : 'This recipe leaves nothing to choose.' })]);
    }
  }

  make(kind, data) {
    return data.tag === 'words' || data.tag === 'yes' ? new Pick(data, this.change) : new Amount(kind, data, this.unit, this.change);
  }

  forget(kind) {
    for (const control of this.made[kind].values()) { control.set = null; control.draw(); }
  }

  reunit(unit) {
    this.unit = unit;
    for (const kind of ['measures', 'choices']) for (const control of this.made[kind].values()) control.reunit(unit);
  }

  // What the recipe's rules give for measures that were not taken.
  ruled(figures) {
    for (const [name, control] of this.made.measures) {
      if (!(name in figures) || control.byRule === figures[name]) continue;
      control.byRule = figures[name];
      if (control.set === null && document.activeElement !== control.field) control.draw();
    }
  }
}
