// Small helpers for pages. Text only ever becomes text: nothing here reads markup.

export const byId = id => document.getElementById(id);

/** An element with properties and children; strings become text. */
export function el(tag, properties = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(properties)) {
    if (value === null || value === undefined) continue;
    if (name in node && name !== 'list') node[name] = value;
    else node.setAttribute(name, value);
  }
  node.append(...children.filter(child => child !== null && child !== undefined && child !== false));
  return node;
}

const TYPE = [
  [/(?<![\w.)−-])-(?=\d)/g, '−'],
  [/(?<=\d) ([kMmu]?)ohm\b/g, '\u00a0$1Ω'],
  [/(?<=\d)[ \u00a0]u(?=(?:V|A|W|s|F|H|Ω)(?![\w/]))/g, '\u00a0µ'],
  [/(?<=\d) deg\b/g, '°'],
];

/** Figures in words, set in type as certificates do: −60 dB, 550 µV, 8 Ω. Not for what people have named. */
export const typeset = text => TYPE.reduce((words, [plain, set]) => words.replace(plain, set), text ?? '');

/** Changes text only if it differs, so that selections and screen readers are left in peace. */
export function say(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

/** Makes the children of a node match items: nodes of known keys stay, and keep the focus. */
export function keyed(parent, items, keyOf, make) {
  const known = new Map([...parent.children].map(child => [child.dataset.key, child]));
  let place = parent.firstElementChild;
  for (const item of items) {
    const key = keyOf(item);
    const content = JSON.stringify(item);
    let node = known.get(key);
    known.delete(key);
    if (!node || node.dataset.content !== content) {
      const fresh = make(item);
      fresh.dataset.key = key;
      fresh.dataset.content = content;
      if (node) {
        const focused = node.contains(document.activeElement);
        if (place === node) place = fresh;
        node.replaceWith(fresh);
        if (focused) fresh.querySelector('a, button')?.focus();
      }
      node = fresh;
    }
    if (node === place) place = place.nextElementSibling;
    else parent.insertBefore(node, place);
  }
  for (const gone of known.values()) gone.remove();
}

const SHAPES = {
  pass: 'M8 1a7 7 0 1 0 0 14A7 7 0 0 0 8 1ZM6.9 11.6 3.6 8.3l1.3-1.3 2 2 4.2-4.2 1.3 1.3Z',
  fail: 'M5 1h6l4 4v6l-4 4H5l-4-4V5Zm-.3 4.9L6.8 8l-2.1 2.1 1.2 1.2L8 9.2l2.1 2.1 1.2-1.2L9.2 8l2.1-2.1-1.2-1.2L8 6.8 5.9 4.7Z',
  'in the guard band': 'M8 0 16 8 8 16 0 8Zm-.9 4v5h1.8V4Zm0 6.3V12h1.8v-1.7Z',
  aborted: 'M1 1h14v14H1Zm4 4v6h6V5Z',
  error: 'M8 1l8 14H0Zm-.9 5v4.5h1.8V6Zm0 5.6v1.7h1.8v-1.7Z',
  running: 'M3 1l12 7-12 7Z',
  online: 'M8 1a7 7 0 1 0 0 14A7 7 0 0 0 8 1Zm0 2a5 5 0 1 1 0 10A5 5 0 0 1 8 3Z',
  offline: 'M2.5 1 15 13.5 13.5 15 1 2.5ZM8 1a7 7 0 0 1 6 10.6L12.5 10A5 5 0 0 0 6 3.5L4.4 2A7 7 0 0 1 8 1ZM2 4.4 3.5 6A5 5 0 0 0 10 12.5L11.600 14A7 7 0 0 1 2 4.4Z',
  'opening yes': 'M4 7V5a4 4 0 0 1 7.700-1.500l-1.400.800A2.400 2.400 0 0 0 5.600 5v2H13v8H3V7Z',
  'opening no': 'M9.500 0 3 9h4l-1.500 7L13 6H8.500Z',
  'opening unknown': 'M8 1l8 14H0Zm-.9 5v4.5h1.8V6Zm0 5.6v1.7h1.8v-1.7Z',
  'not judged': 'M1 7h14v2H1Z',
  unknown: 'M1 6.500h3v3H1Zm5.500 0h3v3h-3Zm5.500 0h3v3h-3Z',
  silent: 'M1 2h14v10H7l-4 3v-3H1ZM4 6h8v2H4Z',
  late: 'M8 1a7 7 0 1 0 0 14A7 7 0 0 0 8 1Zm0 2a5 5 0 1 1 0 10A5 5 0 0 1 8 3ZM7 4.500h2v3.100l2.200 2.200-1.400 1.400L7 8.400Z',
  uncalibrated: 'M0 4h16v8H0ZM2 4.800h1.200v3.200H2Zm3.600 0h1.200v3.200H5.600Zm3.600 0h1.200v3.200H9.200Zm3.600 0H14v3.200h-1.200Z',
  notable: 'M1 11.500 6 6.500l3 3 3.300-3.300L10.500 4H15v4.500l-1.400-1.400L9 12 6 9l-3.600 3.800Z',
  old: 'M3 1h10v2.500L9.500 8 13 12.500V15H3v-2.500L6.500 8 3 3.500Z',
};
const WORDS = {
  online: 'ready', running: 'testing', unknown: 'state not told',
  'opening yes': 'safe to open', 'opening no': 'do not open', 'opening unknown': 'treat as live, do not open',
};

/** A state or judgement as a shape and a word, or more words in its place. */
export function mark(word, words = WORDS[word] ?? word) {
  const svg = document.createElementNS('http://www.w3.org/2000/svg', 'svg');
  svg.setAttribute('viewBox', '0 0 16 16');
  svg.setAttribute('aria-hidden', 'true');
  const path = document.createElementNS('http://www.w3.org/2000/svg', 'path');
  path.setAttribute('fill-rule', 'evenodd');
  path.setAttribute('d', SHAPES[word] ?? SHAPES['not judged']);
  svg.append(path);
  return el('span', {className: `mark ${word.replaceAll(' ', '-')}`}, svg, words);
}

/** Whether a unit may be opened, as a shape and words. */
export function opening(told) {
  return el('p', {className: 'opening'}, mark(`opening ${told.safe}`), el('span', {className: 'why quiet'}, told.reason));
}

const two = number => String(number).padStart(2, '0');

/** "14:05", with the day if it is not today. */
export function clock(millis, seconds = false) {
  const time = new Date(millis);
  const day = time.toDateString() === new Date().toDateString() ? '' : `${time.getFullYear()}-${two(time.getMonth() + 1)}-${two(time.getDate())} `;
  return `${day}${two(time.getHours())}:${two(time.getMinutes())}${seconds ? ':' + two(time.getSeconds()) : ''}`;
}

/** "45 s", "3 min", "2 h 10 min". */
export function lasting(seconds) {
  const whole = Math.max(0, Math.round(seconds));
  if (whole < 90) return `${whole} s`;
  const minutes = Math.round(whole / 60);
  if (minutes < 90) return `${minutes} min`;
  return `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
}

export const percent = share => `${(100 * share).toFixed(share === 1 || share === 0 ? 0 : 1)} %`;

/** An address of this site with parameters. */
export const address = (path, parameters) => `${path}?${new URLSearchParams(parameters)}`;
