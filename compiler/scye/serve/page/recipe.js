// The recipe as text: edited here or in any editor, flagged where something is amiss, saved only when asked.

import { el, put } from './dom.js';

const PAUSE = 120; // ms without a key after which the text is drafted

const $ = id => document.getElementById(id);

export class Recipe {
  constructor(on) {
    this.on = on;
    this.box = $('text');
    this.gutter = $('gutter');
    this.bar = $('bar');
    this.own = false; // the page has a text of its own, not yet in the file
    this.file = '';
    this.flags = new Map();
    this.box.addEventListener('input', () => this.edited());
    this.box.addEventListener('scroll', () => this.scrolled());
    this.box.addEventListener('keydown', event => this.key(event));
    this.box.addEventListener('click', () => { this.bar.hidden = true; });
    $('save').onclick = () => this.on.save(this.text);
    $('take').onclick = () => { this.own = false; this.on.fromFile(); };
  }

  get text() {
    return this.box.value;
  }

  // The file's text, at the beginning or after it was saved in another program.
  take(message) {
    this.file = message.text;
    this.own = false;
    if (this.text !== message.text) {
      const { selectionStart, selectionEnd, scrollTop, scrollLeft } = this.box;
      this.box.value = message.text;
      this.box.setSelectionRange(selectionStart, selectionEnd);
      this.box.scrollTo(scrollLeft, scrollTop);
      this.number();
    }
    $('recipe-h').textContent = message.file.split('/').at(-1);
    $('take').hidden = true;
    this.stand('');
  }

  edited() {
    this.own = this.text !== this.file;
    this.bar.hidden = true;
    this.number();
    this.stand('');
    clearTimeout(this.later);
    this.later = setTimeout(() => this.on.edited(this.text), PAUSE);
  }

  stand(words) {
    $('save').disabled = !this.own;
    $('saved').textContent = words || (this.own ? 'not saved' : 'as in the file');
  }

  saved(words) {
    this.file = this.text;
    this.own = false;
    $('take').hidden = true;
    this.stand(words);
  }

  unsaved(why) {
    $('take').hidden = why.code !== 'E2104';
    this.stand(`${why.text}. ${why.try}`);
  }

  changed(words) {
    $('take').hidden = false;
    this.stand(`${words}. Your text is kept here.`);
  }

  key(event) {
    if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === 's') { event.preventDefault(); if (this.own) this.on.save(this.text); }
    if (event.key === 'Escape') { event.preventDefault(); this.on.back(); }
  }

  // --- lines --------------------------------------------------------------------------------------

  number() {
    const count = this.text.split('\n').length;
    if (count === this.count && !this.stale) return;
    this.count = count;
    this.stale = false;
    put(this.gutter, Array.from({ length: count }, (_, i) => {
      const found = this.flags.get(i + 1);
      return el('div', found ? { className: found.severity, title: found.text, textContent: `● ${i + 1}` } : { textContent: i + 1 });
    }));
    this.scrolled();
  }

  flag(findings) {
    const flags = new Map();
    for (const finding of findings) if (finding.line && !flags.has(finding.line)) flags.set(finding.line, finding);
    const said = map => JSON.stringify([...map].map(([line, f]) => [line, f.severity, f.text]));
    if (said(flags) === said(this.flags) && this.count) return;
    this.flags = flags;
    this.stale = true;
    this.number();
  }

  goTo(line, focus) {
    if (!line) return;
    const lines = this.text.split('\n');
    const start = lines.slice(0, line - 1).reduce((sum, text) => sum + text.length + 1, 0);
    const high = parseFloat(getComputedStyle(this.box).lineHeight);
    this.box.scrollTo(0, Math.max(0, (line - 1) * high - this.box.clientHeight / 3));
    this.line = line;
    this.bar.hidden = false;
    this.scrolled();
    if (focus) {
      this.box.focus({ preventScroll: true });
      this.box.setSelectionRange(start + /^\s*/.exec(lines[line - 1] ?? '')[0].length, start + (lines[line - 1] ?? '').length);
      this.box.closest('.part').scrollIntoView({ block: 'nearest' });
    }
  }

  scrolled() {
    this.gutter.scrollTop = this.box.scrollTop;
    const high = parseFloat(getComputedStyle(this.box).lineHeight);
    this.bar.style.transform = `translateY(${((this.line ?? 1) - 1) * high - this.box.scrollTop}px)`;
  }
}
