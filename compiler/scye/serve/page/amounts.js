// Amounts as a maker writes and reads them. Inside the page lengths are mm, angles radians, shares 0 to 1.

const SIZE = { in: 25.4, '"': 25.4, yd: 914.4, cm: 10, mm: 1, m: 1000 };
const VULGAR = { '½': 1 / 2, '⅓': 1 / 3, '⅔': 2 / 3, '¼': 1 / 4, '¾': 3 / 4, '⅛': 1 / 8, '⅜': 3 / 8, '⅝': 5 / 8, '⅞': 7 / 8 };

function inches(value) {
  let steps = Math.round(Math.abs(value) / 25.4 * 16), over = steps % 16, under = 16;
  const whole = (steps - over) / 16;
  while (over && over % 2 === 0) { over /= 2; under /= 2; }
  const said = [whole || !over ? String(whole) : '', over ? `${over}/${under}` : ''].filter(Boolean).join(' ');
  return (value < 0 && steps ? '-' : '') + said + ' in';
}

const plain = (value, places) => String(Number(value.toFixed(places)));

// An amount in words; `tag` says what it is of.
export function show(value, tag, unit) {
  switch (tag) {
    case 'mm': return unit === 'in' ? inches(value) : unit === 'cm' ? `${(value / 10).toFixed(1)} cm` : `${Math.round(value)} mm`;
    case 'rad': return `${plain(value * 180 / Math.PI, 1)} deg`;
    case 'share': return `${plain(value * 100, 1)}%`;
    default: return plain(value, 3);
  }
}

// What is sent to the server: never rounded to the tape.
export function send(value, tag) {
  switch (tag) {
    case 'mm': return `${value.toFixed(3)} mm`;
    case 'rad': return `${(value * 180 / Math.PI).toFixed(3)} deg`;
    case 'share': return `${(value * 100).toFixed(3)}%`;
    case 'count': return String(Math.round(value));
    default: return value.toFixed(4);
  }
}

// A text as an amount; null if it can't be read here. What it means is for the server to say.
export function read(text, tag, unit) {
  const found = /^\s*(\d*\.\d+|\d+(?!\d*\/))?\s*(?:(\d+)\/(\d+)|([½⅓⅔¼¾⅛⅜⅝⅞]))?\s*([a-z%"°]*)\s*$/.exec(text);
  if (!found || !(found[1] || found[2] || found[4])) return null;
  const value = Number(found[1] || 0) + (found[2] ? Number(found[2]) / Number(found[3]) : 0) + (VULGAR[found[4]] || 0);
  if (tag === 'mm') { const size = SIZE[found[5] || unit]; return size ? value * size : null; }
  if (tag === 'rad') return value * Math.PI / 180;
  return tag === 'share' ? value / 100 : value;
}

// How far one step of a slider goes.
export function step(tag, unit, fine) {
  switch (tag) {
    case 'mm': return unit === 'in' ? 25.4 / (fine ? 16 : 8) : fine ? 1 : 5;
    case 'rad': return Math.PI / 180 / 2;
    case 'share': return 0.01;
    case 'count': return 1;
    default: return 0.1;
  }
}
