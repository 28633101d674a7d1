// The page: keeps what is wished for, asks the server to draw it, and shows what comes back.

import { Controls } from './controls.js';
import { el, put } from './dom.js';
import { Recipe } from './recipe.js';
import { Slip } from './slip.js';
import { Table } from './table.js';

const AT_REST = 90; // ms without a drawing after which the rest is asked for
const LEFT = ['measures', 'choices', 'files']; // the parts that take turns on a wide page too
const LATEST = 4000; // ms after which a drawing is no longer waited for

const $ = id => document.getElementById(id);
const wide = matchMedia('(min-width: 1100px)');

const wish = { body: '', unit: 'in', measures: {}, choices: {}, under: [] };
let socket, seat = '', number = 0, waiting = 0, again = false, held = false, rest = 0, asked = 0;

// --- talking to the server ---------------------------------------------------------------------

function open() {
  socket = new WebSocket(new URL('seat', location.href).href.replace(/^http/, 'ws'));
  socket.onmessage = event => take(JSON.parse(event.data));
  socket.onopen = () => { waiting = 0; again = false; trouble(''); };
  socket.onclose = () => {
    trouble('The server has stopped. Start `scye serve` again and open the address that it says.');
    setTimeout(open, 1500);
  };
}

function tell(message) {
  if (socket.readyState === WebSocket.OPEN) socket.send(JSON.stringify(message));
}

// Ask for a drawing. One is under way at a time; while it is, only the last wish counts. While a slider is
// held the lines of the pieces do, unless others lie under them and are moved along.
function draw(holding = false) {
  held = holding;
  clearTimeout(rest);
  if (waiting && performance.now() - asked < LATEST) { again = true; return; }
  again = false;
  waiting = ++number;
  asked = performance.now();
  tell({ do: 'draw', number, ...wish, held: held && !wish.under.length });
}

function answered(message) {
  if (message.number && message.number !== waiting) return;
  waiting = 0;
  if (again) draw(held);
}

function trouble(words) {
  $('trouble').hidden = !words;
  $('trouble').textContent = words;
}

// --- what comes back -----------------------------------------------------------------------------

const takers = {
  seated(m) {
    seat = m.seat;
    files(m.files);
    if (recipe.own) tell({ do: 'rewrite', text: recipe.text });
    if (wish.body) draw();
  },
  text(m) { recipe.take(m); },
  controls(m) {
    wish.body = m.body;
    wish.unit = m.unit;
    head(m);
    controls.take(m, wish);
    layers(m.layers);
  },
  drawing(m) {
    answered(m);
    trouble('');
    table.take(m, wish.unit);
    document.body.classList.remove('stale');
    $('summary').textContent = m.summary;
    findings(m);
    proved(m);
    slip.redrawn();
    clearTimeout(rest);
    rest = setTimeout(() => tell({ do: 'tell' }), AT_REST);
  },
  lines(m) {
    table.follow(m.pieces);
    rest = setTimeout(draw, AT_REST);
    answered(m);
  },
  amiss(m) {
    answered(m);
    document.body.classList.add('stale');
    const first = m.findings.find(f => f.severity === 'error');
    $('summary').textContent = ['Not drawn.', first && `${first.line ? `Line ${first.line}: ` : ''}${first.text.replace(/([^.?])$/, '$1.')}`, table.drawn && 'The pieces are as they were last.'].filter(Boolean).join(' ');
    findings(m);
  },
  under(m) { table.lay(m.bodies, names()); },
  told(m) { table.told(m.points); controls.ruled(m.ruled); figures(m.figures); },
  working(m) { slip.working(m); },
  measured(m) { slip.measured(m); table.tape(slip.laid ? m : { ...m, d: '' }); },
  saved(m) { recipe.saved(m.text); },
  unsaved(m) { recipe.unsaved(m); },
  changed(m) { recipe.changed(m.text); },
  fault(m) { answered(m); trouble(m.text); },
};

function take(message) {
  takers[message.is]?.(message);
}

// --- the parts -----------------------------------------------------------------------------------

const recipe = new Recipe({
  edited: text => tell({ do: 'rewrite', text }),
  save: text => tell({ do: 'save', text }),
  fromFile: () => tell({ do: 'take' }),
  back: () => table.focus(),
});
const table = new Table($('paper'), $('cloth'), {
  shown: thing => slip.show(thing),
  chosen: (thing, byKey) => { slip.pin(thing); if (wide.matches || byKey) slip.toLine(byKey); },
  flagged: index => reveal(index),
  pointed: (thing, at) => slip.pointed(thing, at),
});
const slip = new Slip($('slip-in'), tell, (line, focus) => goTo(line, focus), () => $('tape').getAttribute('aria-pressed') === 'true');
slip.look(thing => thing && table.thing(thing));
const controls = new Controls($('measures-in'), $('choices-in'), (kind, name, text, holding) => {
  if (text === null) delete wish[kind][name]; else wish[kind][name] = text;
  draw(holding);
}, line => goTo(line, true));

function goTo(line, focus) {
  part('recipe');
  recipe.goTo(line, focus);
}

function head(m) {
  $('title').textContent = m.title;
  document.title = `${m.title} – Scye`;
  const said = Object.fromEntries(m.headings);
  $('about').textContent = [said.about, said.edition && `Edition ${said.edition}.`].filter(Boolean).join(' ');
  put($('body'), m.bodies.map(([code]) => el('option', { value: code, textContent: code })));
  $('body').value = m.body;
  $('unit').value = m.unit;
  under(m.bodies.map(([code]) => code).filter(code => code !== m.body));
}

function names() {
  return Object.fromEntries([...$('under').querySelectorAll('input')].map(box => [box.value, box.dataset.kind]));
}

function under(codes) {
  const boxes = ['before', ...codes].map((code, i) => {
    const box = el('input', { type: 'checkbox', value: code, checked: wish.under.includes(code) });
    box.dataset.kind = String(i % 6);
    box.onchange = () => {
      wish.under = [...$('under').querySelectorAll('input:checked')].map(b => b.value);
      draw();
    };
    return el('label', {}, box, el('i', { className: `key u${i % 6}` }), code === 'before' ? ' before my changes' : ` ${code}`);
  });
  put($('under'), [$('under').querySelector('legend'), ...boxes]);
  wish.under = wish.under.filter(code => code === 'before' || codes.includes(code));
}

const GRAVE = { error: 3, failure: 2, caution: 1, note: 0 };

function findings(m) {
  const found = m.findings.slice().sort((a, b) => GRAVE[b.severity] - GRAVE[a.severity]);
  const items = found.map((f, i) => {
    const item = el('li', { className: f.severity, id: `f${i}`, tabIndex: -1 },
      el('strong', { textContent: `${f.severity[0].toUpperCase()}${f.severity.slice(1)} ${f.code}` }),
      el('p', { textContent: f.text }));
    if (f.expected) item.append(el('p', { className: 'try', textContent: `Wanted: ${f.expected}` }));
    if (f.try) item.append(el('p', { className: 'try', textContent: `Try: ${f.try}` }));
    if (f.elsewhere) item.append(el('p', { className: 'quiet', textContent: `in ${f.elsewhere}` }));
    const doors = el('p', { className: 'doors' });
    if (f.line) doors.append(el('button', { textContent: `Go to line ${f.line}`, onclick: () => goTo(f.line, true) }));
    for (const a of f.also || []) if (a.line) doors.append(el('button', { textContent: `Line ${a.line}: ${a.text}`, onclick: () => goTo(a.line, true) }));
    for (const name of table.named(f.pieces)) doors.append(el('button', { textContent: `Show the ${table.title(name).toLowerCase()}`, onclick: () => table.showPiece(name) }));
    if (doors.children.length) item.append(doors);
    return item;
  });
  if (!items.length) items.push(el('li', { className: 'good', textContent: 'Nothing to put right.' }));
  put($('findings-in'), items);
  const tab = document.querySelector('#tabs [data-for=findings]');
  tab.textContent = found.length ? `Findings ${found.length}` : 'Findings';
  recipe.flag(found);
  table.flag(found);
}

function reveal(index) {
  part('findings');
  const item = $(`f${index}`);
  item?.scrollIntoView({ block: 'nearest' });
  item?.focus();
}

function proved(m) {
  const seams = m.seams.map(s => el('tr', { className: s.verdict.replaceAll(' ', '-') },
    el('th', { scope: 'row', textContent: s.letter }), el('td', { textContent: `${s.a} to ${s.b}` }),
    el('td', { textContent: s.lengths.join(' to ') + (s.ease ? `, ${s.ease} eased` : '') }), el('td', { textContent: s.verdict === 'walks true' ? s.verdict : `${s.verdict}, ${s.out} out` })));
  const proofs = m.proofs.map(p => el('tr', { className: p.verdict.replaceAll(' ', '-') },
    el('th', { scope: 'row', textContent: p.name }), el('td', { textContent: `wanted ${p.expected}` }),
    el('td', { textContent: `found ${p.found}` }), el('td', { textContent: p.verdict === 'walks true' ? 'holds' : p.verdict })));
  const parts = [];
  if (seams.length) parts.push(sheet('Seams walked', seams));
  if (proofs.length) parts.push(sheet('Proofs', proofs));
  parts.push(...m.reports.map(([title, text]) => el('p', { textContent: `${title}: ${text}` })));
  parts.push(...m.cautions.map(text => el('p', { className: 'try', textContent: text })));
  put($('proved-in'), parts);
}

function sheet(caption, rows) {
  return el('table', {}, el('caption', { textContent: caption }), el('tbody', {}, ...rows));
}

function figures(all) {
  put($('figures-in'), all.flatMap(f => [
    el('dt', { textContent: f.name.replaceAll('_', ' ') }),
    el('dd', {}, f.working, f.sentence ? el('span', { className: 'quiet', textContent: ` ${f.sentence}` }) : ''),
  ]));
}

// --- files to take away ----------------------------------------------------------------------------

function files(groups) {
  if ($('files-in').children.length) return;
  put($('files-in'), groups.flatMap(([title, list]) => {
    const box = el('div', { className: 'take', role: 'group', ariaLabel: title }, el('h3', { textContent: title }));
    if (title === 'Cloth') box.append(cloth());
    box.append(...list.map(([name, words]) => el('button', { textContent: words, onclick: event => fetchFile(name, words, event.target) })));
    return box;
  }));
}

function cloth() {
  return el('p', { className: 'cloth-asked' },
    el('label', {}, 'Layer ', el('select', { id: 'layer' })),
    el('label', {}, 'Width ', el('input', { id: 'width', size: 7, value: '44 in' })),
    el('label', {}, el('input', { id: 'folded', type: 'checkbox' }), ' folded'));
}

function layers(list) {
  const kept = $('layer')?.value;
  if (!$('layer')) return;
  put($('layer'), list.map(name => el('option', { value: name, textContent: name.replaceAll('_', ' ') })));
  if (list.includes(kept)) $('layer').value = kept;
}

// Fetched rather than followed, so that what stands in the way can be told here.
async function fetchFile(name, words, button) {
  const query = new URLSearchParams({ layer: $('layer').value, width: $('width').value, folded: $('folded').checked ? 'yes' : 'no' });
  button.disabled = true;
  $('files-said').textContent = `Making it: ${words}`;
  try {
    const answer = await fetch(`take/${seat}/${name}?${query}`);
    if (!answer.ok) throw new Error(await answer.text());
    const link = el('a', { href: URL.createObjectURL(await answer.blob()), download: /filename="(.*)"/.exec(answer.headers.get('content-disposition'))[1] });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
    $('files-said').textContent = `Saved by the browser: ${link.download}`;
  } catch (why) {
    $('files-said').textContent = `Not made. ${why.message}`;
  }
  button.disabled = false;
}

// --- the page as a whole -----------------------------------------------------------------------------

// One part is shown at a time where there is no room for all; findings and recipe always where there is.
function part(id) {
  if (wide.matches && !LEFT.includes(id)) return;
  for (const section of document.querySelectorAll('.part')) section.classList.toggle('shown', section.id === id);
  for (const tab of document.querySelectorAll('#tabs button')) {
    if (tab.dataset.for === id) tab.setAttribute('aria-current', 'true'); else tab.removeAttribute('aria-current');
  }
}

$('tabs').onclick = event => { if (event.target.dataset.for) part(event.target.dataset.for); };
$('body').onchange = () => { wish.body = $('body').value; wish.measures = {}; controls.forget('measures'); draw(); };
$('unit').onchange = () => { wish.unit = $('unit').value; controls.reunit(wish.unit); draw(); };
$('larger').onclick = () => table.zoom(1.35);
$('smaller').onclick = () => table.zoom(1 / 1.35);
$('whole').onclick = () => table.zoom(0);
$('tape').onclick = () => {
  const on = $('tape').getAttribute('aria-pressed') !== 'true';
  $('tape').setAttribute('aria-pressed', String(on));
  document.body.classList.toggle('measuring', on);
  slip.measuring(on);
};
$('darts').oninput = () => {
  const share = $('darts').value / 100;
  const words = share === 0 ? 'open' : share === 1 ? 'closed' : `${$('darts').value} %`;
  $('darts').setAttribute('aria-valuetext', words);
  $('darts-o').textContent = words;
  table.close(share);
};
document.addEventListener('keydown', event => {
  if (event.key === 'Escape' && $('under-d').open) { $('under-d').open = false; $('under-d').querySelector('summary').focus(); }
});
addEventListener('beforeunload', event => { if (recipe.own) event.preventDefault(); });
$('slip-x').onclick = () => { slip.putAway(); document.querySelector('#tabs [aria-current]').focus(); };
wide.onchange = () => part('measures');
part('measures');
open();
