// The drafting table: the pieces laid out, redrawn as they change, with edges and points to go to.

import { draw, set } from './dom.js';

const GAP = 22; // mm between pieces
const SLACK = 0.05; // of its size that a piece may grow before all are laid out anew
const LETTER = 8; // px that a letter of a title takes on the screen
const RELAY = 500; // ms after the last drawing before they are

const turn = (degrees, [x, y]) => `rotate(${degrees} ${x} ${y})`;

// A path with every point moved toward the straight from a to b by a share.
function squashed(d, [ax, ay], [bx, by], share) {
  const dx = bx - ax, dy = by - ay, square = dx * dx + dy * dy || 1;
  return d.replace(/(-?[\d.]+),(-?[\d.]+)/g, (_, x, y) => {
    const along = ((x - ax) * dx + (y - ay) * dy) / square;
    const px = ax + along * dx, py = ay + along * dy;
    return `${(+x + (px - x) * share).toFixed(2)},${(+y + (py - y) * share).toFixed(2)}`;
  });
}

const ends = d => d.match(/-?[\d.]+,-?[\d.]+/g).map(pair => pair.split(',').map(Number));

// One piece as elements. It is built anew only when it has other edges, darts or marks than before.
class Piece {
  constructor(data, on) {
    this.on = on;
    this.name = data.name;
    this.group = draw('g', { class: 'piece', role: 'group' });
    this.laid = draw('g', { class: 'laid' });
    this.body = draw('g');
    this.ghosts = draw('g', { class: 'closing' });
    this.tapeLine = draw('path', { class: 'tape' });
    this.points = draw('g', { class: 'points' });
    this.flags = draw('g', { class: 'flags' });
    this.title = draw('text', { class: 'title' });
    this.group.append(this.body, this.ghosts, this.title, this.tapeLine, this.points, this.flags);
    this.take(data);
  }

  static shape(d) {
    return [d.edges.map(e => `${e.name}:${e.letters}`), d.darts.map(x => x.name), d.notches.length, d.drills.length, d.levels.map(l => l[0]), d.words.length].join('|');
  }

  take(data) {
    const shape = Piece.shape(data);
    if (shape !== this.shape) { this.shape = shape; this.build(data); }
    this.data = data;
    set(this.group, { 'aria-label': `${data.title}, piece ${data.number}` });
    set(this.cut, { d: data.cut });
    set(this.grain, { x1: data.grain[0], y1: data.grain[1], x2: data.grain[2], y2: data.grain[3] });
    data.levels.forEach(([, x1, y1, x2, y2], i) => set(this.levels[i], { x1, y1, x2, y2 }));
    data.edges.forEach((edge, i) => {
      set(this.lines[i], { d: edge.d, class: edge.fold ? 'edge fold' : 'edge' });
      set(this.hits[i], { d: edge.d, 'aria-label': `${edge.said}, ${edge.length}, ${edge.allow}, ${data.title}` });
    });
    data.notches.forEach((notch, i) => set(this.notches[i], { d: notch.d }));
    data.drills.forEach(([cx, cy], i) => set(this.drills[i], { cx, cy }));
    data.words.forEach(([x, y, angle, text], i) => {
      set(this.words[i], { transform: `translate(${x} ${y}) rotate(${angle})` });
      if (this.words[i].textContent !== text) this.words[i].textContent = text;
    });
    set(this.title, { transform: `translate(${data.at[0]} ${data.at[1]})` });
    this.entitle(data.title);
    this.close(this.share ?? 0);
    this.underlay();
    this.flag([...this.flags.children]);
  }

  // Only the lines, while a slider is held. What is marked on the piece is hidden till it is drawn whole.
  follow(lines) {
    set(this.cut, { d: lines.cut });
    lines.edges.forEach((d, i) => {
      this.data.edges[i].d = d;
      set(this.lines[i], { d });
      set(this.hits[i], { d });
    });
    lines.darts.forEach(([d, fold], i) => Object.assign(this.data.darts[i], { d, fold }));
    this.crease();
    this.group.classList.add('held');
  }

  // The title in one line, or a line a word where the piece is narrow on the screen.
  entitle(title, scale = this.scale ?? 1) {
    this.scale = scale;
    const wide = (this.data.box[2] - this.data.box[0]) * scale, words = title.split(' ');
    const lines = title.length * LETTER > wide * 0.8 ? words : [title];
    if (this.entitled === lines.join('|')) return;
    this.entitled = lines.join('|');
    this.title.replaceChildren(...lines.map((line, i) => {
      const row = draw('tspan', i ? { x: 0, dy: '1.1em' } : { x: 0 });
      row.textContent = line;
      return row;
    }));
  }

  build(data) {
    this.cut = draw('path', { class: 'cut' });
    this.grain = draw('line', { class: 'grain', 'marker-start': 'url(#tail)', 'marker-end': 'url(#head)' });
    this.levels = data.levels.map(() => draw('line', { class: 'level' }));
    this.lines = data.edges.map(() => draw('path', { class: 'edge' }));
    this.hits = data.edges.map(edge => this.reach(draw('path', { class: 'hit' }), () => ({ kind: 'edge', piece: this.name, name: edge.name })));
    this.darts = data.darts.map(() => ({ legs: draw('path', { class: 'dart' }), fold: draw('path', { class: 'press' }) }));
    this.notches = data.notches.map(() => draw('path', { class: 'notch' }));
    this.drills = data.drills.map(() => draw('circle', { class: 'drill' }));
    this.words = data.words.map(([, , , , role]) => draw('text', { class: `word ${role}` }));
    this.body.replaceChildren(this.cut, this.laid, ...this.levels, this.grain, ...this.darts.flatMap(d => [d.legs, d.fold]), ...this.notches, ...this.drills, ...this.lines, ...this.words, ...this.hits);
    this.points.replaceChildren();
    this.pointMarks = [];
  }

  reach(element, thing) {
    set(element, { role: 'button', tabindex: -1 });
    element.addEventListener('pointerenter', () => this.on.shown({ ...thing(), hover: true }));
    element.addEventListener('focus', () => { this.on.focused(element); this.on.shown(thing()); });
    element.addEventListener('click', event => {
      const place = new DOMPoint(event.clientX, event.clientY).matrixTransform(element.getScreenCTM().inverse());
      this.on.pointed(thing(), [place.x, place.y]);
      this.on.chosen(thing(), false);
    });
    element.addEventListener('keydown', event => {
      if (event.key === 'Enter' || event.key === ' ') { event.preventDefault(); this.on.chosen(thing(), event.key === 'Enter'); }
    });
    return element;
  }

  // The points that were told of; hidden while the piece is being redrawn.
  told(points) {
    const names = points.map(([name]) => name).join('|');
    if (names !== this.pointNames) {
      this.pointNames = names;
      this.pointMarks = points.map(([name]) => {
        const dot = draw('circle', { class: 'dot' });
        const hit = this.reach(draw('circle', { class: 'hit' }), () => ({ kind: 'point', piece: this.name, name }));
        return { dot, hit };
      });
      this.points.replaceChildren(...this.pointMarks.flatMap(m => [m.dot, m.hit]));
    }
    points.forEach(([, said, cx, cy], i) => {
      set(this.pointMarks[i].dot, { cx, cy });
      set(this.pointMarks[i].hit, { cx, cy, 'aria-label': `point ${said}, ${this.data.title}` });
    });
    this.pointsAt = Object.fromEntries(points.map(([name, said, x, y]) => [name, { said, at: [x, y] }]));
    this.group.classList.remove('moving');
  }

  stops() {
    return [...this.hits, ...(this.pointMarks ?? []).map(m => m.hit)];
  }

  // Darts drawn closed by a share: what lies beyond each is turned about its pivot, those after it as well.
  close(share) {
    this.share = share;
    this.crease();
    const chains = share ? this.data.edges.filter(edge => edge.closing.length) : [];
    this.ghosts.replaceChildren(...chains.map(edge => edge.closing.reduceRight((inner, step) => {
      const group = draw('g', { transform: turn(step.turn * share, step.pivot) }, draw('path', { class: 'ghost', d: step.d }), draw('path', { class: 'ghost leg', d: step.leg }));
      if (inner) group.append(inner);
      return group;
    }, null)));
  }

  crease() {
    this.data.darts.forEach((dart, i) => {
      const [a, b] = ends(dart.fold);
      set(this.darts[i].legs, { d: dart.inner && this.share ? squashed(dart.d, a, b, this.share) : dart.d });
      set(this.darts[i].fold, { d: dart.fold });
    });
  }

  underlay(bodies = this.bodies) {
    this.bodies = bodies;
    const [x, y, angle] = this.data.nest ?? [];
    this.laid.replaceChildren(...(this.data.nest ? bodies ?? [] : []).map(({ piece, look }) => {
      const [ux, uy, was] = piece.nest;
      return draw('path', { class: `under u${look}`, d: piece.d, transform: `translate(${x} ${y}) rotate(${(angle - was).toFixed(4)}) translate(${-ux} ${-uy})` });
    }));
  }

  // Flags stand in a row over the title.
  flag(marks) {
    marks.forEach((mark, i) => {
      set(mark, { transform: `translate(${this.data.at[0]} ${this.data.at[1]})` });
      mark.style.setProperty('--n', i - (marks.length - 1) / 2);
    });
    const old = [...this.flags.children];
    if (marks.length !== old.length || marks.some((mark, i) => mark !== old[i])) this.flags.replaceChildren(...marks);
  }
}

export class Table {
  constructor(svg, cloth, on) {
    this.svg = svg;
    this.cloth = cloth;
    this.on = { ...on, focused: element => this.stop(element) };
    this.pieces = new Map();
    this.order = [];
    this.slots = new Map();
    this.scale = 1;
    this.zoomed = 1;
    this.drawn = false;
    this.grid = this.ground();
    this.layer = draw('g');
    svg.append(this.grid, this.layer);
    svg.addEventListener('keydown', event => this.key(event));
    new ResizeObserver(() => this.fit()).observe(cloth);
  }

  ground() {
    const defs = draw('defs');
    const arrow = (id, orient) => draw('marker', { id, viewBox: '0 0 8 8', refX: 7, refY: 4, markerWidth: 9, markerHeight: 9, orient, markerUnits: 'userSpaceOnUse' }, draw('path', { class: 'arrow', d: 'M0 1.6L8 4L0 6.4Z' }));
    this.fine = draw('pattern', { id: 'fine', patternUnits: 'userSpaceOnUse' }, draw('path', { class: 'grid' }));
    this.coarse = draw('pattern', { id: 'coarse', patternUnits: 'userSpaceOnUse' }, draw('rect', { fill: 'url(#fine)' }), draw('path', { class: 'grid main' }));
    defs.append(arrow('head', 'auto'), arrow('tail', 'auto-start-reverse'), this.fine, this.coarse);
    this.mat = draw('rect', { class: 'mat', fill: 'url(#coarse)' });
    return draw('g', { 'aria-hidden': 'true' }, defs, this.mat);
  }

  // The mat is ruled in inches or centimetres, heavier every fourth or fifth.
  rule(unit) {
    if (unit === this.unit) return;
    this.unit = unit;
    const small = unit === 'in' ? 25.4 : 10, large = small * (unit === 'in' ? 4 : 5);
    set(this.fine, { width: small, height: small });
    set(this.fine.firstChild, { d: `M0 0H${small}M0 0V${small}` });
    set(this.coarse, { width: large, height: large });
    set(this.coarse.firstChild, { width: large, height: large });
    set(this.coarse.lastChild, { d: `M0 0H${large}M0 0V${large}` });
  }

  // --- a drawing ---------------------------------------------------------------------------------

  take(message, unit) {
    this.rule(unit);
    const missing = new Set(message.missing);
    for (const [name, data] of Object.entries(message.pieces)) {
      const piece = this.pieces.get(name);
      if (piece) { piece.group.classList.add('moving'); piece.take(data); } else this.pieces.set(name, new Piece(data, this.on));
    }
    for (const name of [...this.pieces.keys()]) if (!message.order.includes(name)) this.pieces.delete(name);
    for (const [name, piece] of this.pieces) {
      piece.group.classList.toggle('missing', missing.has(name));
      piece.group.classList.remove('held');
    }
    const order = message.order.filter(name => this.pieces.has(name));
    const same = order.join() === this.order.join();
    this.order = order;
    if (!same || !this.drawn) this.layOut();
    else if (this.outgrown()) { clearTimeout(this.later); this.later = setTimeout(() => this.layOut(), RELAY); }
    this.drawn = true;
  }

  follow(lines) {
    for (const [name, its] of Object.entries(lines)) this.pieces.get(name).follow(its);
  }

  told(points) {
    for (const [name, list] of Object.entries(points)) this.pieces.get(name)?.told(list);
    this.roving();
  }

  lay(bodies, looks) {
    for (const [name, piece] of this.pieces) {
      const found = Object.entries(bodies).filter(([, pieces]) => pieces[name]);
      piece.underlay(found.map(([code, pieces]) => ({ piece: pieces[name], look: looks[code] ?? 0 })));
    }
  }

  close(share) {
    for (const piece of this.pieces.values()) piece.close(share);
    this.svg.classList.toggle('shut', share > 0);
  }

  tape(message) {
    for (const piece of this.pieces.values()) set(piece.tapeLine, { d: piece.name === message.piece ? message.d : '' });
  }

  title(name) {
    return this.pieces.get(name)?.data.title ?? name;
  }

  thing({ kind, piece, name }) {
    const found = this.pieces.get(piece);
    if (!found) return null;
    if (kind === 'edge') return { title: found.data.title, ...found.data.edges.find(edge => edge.name === name) };
    return { title: found.data.title, said: found.pointsAt?.[name]?.said ?? name };
  }

  // The pieces of those names that are on the table, or their right and left ones.
  named(names) {
    return this.order.filter(name => names.includes(name.replace(/^(right|left)_/, '')) || names.includes(name));
  }

  flag(findings) {
    const marks = new Map(this.order.map(name => [name, []]));
    findings.forEach((finding, index) => {
      for (const name of this.named(finding.pieces)) marks.get(name).push(this.mark(finding, index));
    });
    for (const [name, list] of marks) this.pieces.get(name).flag(list);
  }

  // A flag that says what is amiss and leads to the finding in the list.
  mark(finding, index) {
    const mark = draw('g', { class: `flag ${finding.severity}`, role: 'button', tabindex: 0, 'aria-label': `${finding.severity}: ${finding.text}` }, draw('circle', {}), draw('text', {}));
    mark.lastChild.textContent = finding.severity === 'note' ? 'i' : '!';
    mark.addEventListener('click', () => this.on.flagged(index));
    mark.addEventListener('keydown', event => {
      if (event.key === 'Enter' || event.key === ' ') { event.preventDefault(); this.on.flagged(index); }
    });
    return mark;
  }

  // --- where they lie ------------------------------------------------------------------------------

  outgrown() {
    return this.order.some(name => {
      const box = this.pieces.get(name).data.box, slot = this.slots.get(name);
      return !slot || box[0] < slot[0] || box[1] < slot[1] || box[2] > slot[2] || box[3] > slot[3];
    });
  }

  layOut() {
    const rooms = this.order.map(name => {
      const [left, top, right, bottom] = this.pieces.get(name).data.box;
      const dx = (right - left) * SLACK, dy = (bottom - top) * SLACK;
      const slot = [left - dx, top - dy, right + dx, bottom + dy];
      return { name, slot, width: slot[2] - slot[0], height: slot[3] - slot[1] };
    });
    if (!rooms.length) { this.layer.replaceChildren(); return; }
    const aspect = (this.cloth.clientWidth || 4) / (this.cloth.clientHeight || 3);
    const best = rooms.map((_, k) => shelves(rooms, k + 1)).reduce((a, b) => (fitting(b, aspect) < fitting(a, aspect) ? b : a));
    this.slots = new Map(rooms.map(room => [room.name, room.slot]));
    for (const { room, x, y } of best.places) {
      set(this.pieces.get(room.name).group, { transform: `translate(${(x - room.slot[0]).toFixed(2)} ${(y - room.slot[1]).toFixed(2)})` });
    }
    this.layer.replaceChildren(...this.order.map(name => this.pieces.get(name).group));
    this.size = [best.width, best.height];
    this.roving();
    this.fit();
  }

  fit() {
    if (!this.size) return;
    const [width, height] = this.size, room = [this.cloth.clientWidth, this.cloth.clientHeight];
    if (!room[0] || !room[1]) return;
    const whole = Math.min(room[0] / width, room[1] / height);
    this.scale = whole * this.zoomed;
    // The mat fills the table, whatever the pieces leave of it.
    const across = Math.max(width, room[0] / this.scale), down = Math.max(height, room[1] / this.scale);
    const left = (width - across) / 2, top = (height - down) / 2;
    set(this.svg, { viewBox: `${left} ${top} ${across} ${down}`, width: Math.floor(across * this.scale), height: Math.floor(down * this.scale) });
    set(this.mat, { x: left, y: top, width: across, height: down });
    this.svg.style.setProperty('--mm', 1 / this.scale);
    for (const piece of this.pieces.values()) piece.entitle(piece.data.title, this.scale);
    this.svg.classList.toggle('near', this.scale > 0.85);
    this.svg.classList.toggle('far', this.scale < 0.42);
  }

  zoom(factor) {
    const { cloth } = this, was = [cloth.scrollLeft + cloth.clientWidth / 2, cloth.scrollTop + cloth.clientHeight / 2], scale = this.scale;
    this.zoomed = factor ? Math.max(1, Math.min(12, this.zoomed * factor)) : 1;
    this.fit();
    const by = this.scale / scale;
    cloth.scrollTo(was[0] * by - cloth.clientWidth / 2, was[1] * by - cloth.clientHeight / 2);
  }

  // --- the keyboard ----------------------------------------------------------------------------------

  // The whole drawing is one stop of Tab; the arrow keys go on from there.
  roving() {
    const all = this.order.flatMap(name => this.pieces.get(name).stops());
    if (!all.includes(this.at)) this.at = all[0];
    for (const element of all) set(element, { tabindex: element === this.at ? 0 : -1 });
  }

  stop(element) {
    if (this.at) set(this.at, { tabindex: -1 });
    this.at = element;
    set(element, { tabindex: 0 });
  }

  focus() {
    this.at?.focus();
  }

  showPiece(name) {
    const piece = this.pieces.get(name);
    if (!piece) return;
    this.cloth.scrollIntoView({ block: 'nearest' });
    piece.hits[0].focus();
  }

  key(event) {
    const here = this.order.findIndex(name => this.pieces.get(name).stops().includes(event.target));
    if (here < 0) return;
    const stops = this.pieces.get(this.order[here]).stops(), at = stops.indexOf(event.target);
    const other = step => this.pieces.get(this.order[(here + step + this.order.length) % this.order.length]).stops()[0];
    const next = {
      ArrowRight: () => stops[(at + 1) % stops.length],
      ArrowLeft: () => stops[(at - 1 + stops.length) % stops.length],
      ArrowDown: () => other(1),
      ArrowUp: () => other(-1),
      Home: () => stops[0],
      End: () => stops[stops.length - 1],
    }[event.key];
    if (next) { event.preventDefault(); next().focus(); }
    if (event.key === '+' || event.key === '-' || event.key === '0') this.zoom({ '+': 1.35, '-': 1 / 1.35, 0: 0 }[event.key]);
  }
}

// Pieces in rows, `count` of them at most in the first.
function shelves(rooms, count) {
  const most = rooms.slice(0, count).reduce((sum, room) => sum + room.width + GAP, GAP);
  const places = [];
  let x = GAP, y = GAP, deep = 0, width = 0;
  for (const room of rooms) {
    if (x > GAP && x + room.width + GAP > most + 1) { x = GAP; y += deep + GAP; deep = 0; }
    places.push({ room, x, y });
    x += room.width + GAP;
    deep = Math.max(deep, room.height);
    width = Math.max(width, x);
  }
  return { places, width, height: y + deep + GAP };
}

// How much a layout is scaled down by to fit: less is better.
function fitting({ width, height }, aspect) {
  return Math.max(width / aspect, height);
}
