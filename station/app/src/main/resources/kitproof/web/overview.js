// The first page: stations, and a batch as it goes.
import {address, byId, clock, el, keyed, lasting, mark, percent, say, typeset} from './dom.js';
import {live} from './live.js';
import {Pages} from './pages.js';
import {card} from './stations.js';

const wanted = new URLSearchParams(location.search);
const wall = wanted.has('wall');
document.body.classList.toggle('wall', wall);
const way = byId('wall');
say(way, wall ? 'Leave the wall display' : 'Wall display');

const WALL_ROWS = 6;
const WALL_CARDS = 3; // of more stations the cards are small
const WALL_STATIONS = 20;
const LONG_SILENCE = 5; // minutes; a station tells of every step
const pages = new Pages(() => ask());
let known = null; // runs seen as finished, so that only news is announced

const batchOf = key => ({shop: key.shop, product: key.product, batch: key.batch});
const nameOf = key => key.batch === '' ? `${key.product}, no batch` : `${key.product}, ${key.batch}`;

/** To the other view and back a batch that was chosen goes along. */
function wayThere() {
  const kept = ['shop', 'product', 'batch'].filter(name => wanted.has(name)).map(name => [name, wanted.get(name)]);
  way.href = `/?${new URLSearchParams(wall ? kept : [...kept, ['wall', '']])}`;
}

function where() {
  const parameters = {page: pages.number};
  for (const name of ['shop', 'product', 'batch']) if (wanted.has(name)) parameters[name] = wanted.get(name);
  return address('/api/overview', parameters);
}

/** A number with its word; one that is a state has its shape too. */
function figure(word, number, more, state = '') {
  return {word, number, more, state};
}

function figures(batch, now) {
  const all = [
    figure('Tested', batch.planned ? `${batch.tested} of ${batch.planned}` : `${batch.tested}`, batch.planned ? `${batch.left} to come` : 'size of the batch not told'),
    figure('First-pass yield', batch.tested ? percent(batch.firstPassYield) : '–', `${batch.firstPassed} of ${batch.tested}`),
    figure('Final yield', batch.tested ? percent(batch.finalYield) : '–', `${batch.passed} of ${batch.tested}`),
    figure('Units per hour', batch.perHour === null ? '–' : batch.perHour.toFixed(batch.perHour < 10 ? 1 : 0), batch.perHour === null ? 'after two units' : 'latest units'),
  ];
  if (batch.left === 0) all.push(figure('Expected end', 'done', ''));
  else if (batch.lateSeconds !== null) all.push(figure('Expected end', 'late', `no unit has finished for ${lasting(batch.lateSeconds)}`, 'late'));
  else if (batch.ends !== null) all.push(figure('Expected end', clock(batch.ends), `in ${lasting((batch.ends - now) / 1000)}`));
  else all.push(figure('Expected end', '–', batch.planned ? 'after two units' : 'size of the batch not told'));
  return all;
}

/** What a wall has room for, in short words. */
function few(all) {
  const short = {'First-pass yield': 'First pass', 'Final yield': 'Final', 'Expected end': 'Ends'};
  return all.filter(one => one.word !== 'Units per hour').map(one => ({...one, word: short[one.word] ?? one.word}));
}

function unit(batch, one) {
  const shown = one.failed.slice(0, 3);
  const more = one.failed.length - shown.length;
  const what = one.failed.length ? shown.join(', ') + (more > 0 ? ` and ${more} more` : '') : one.verdict === 'pass' ? '' : typeset(one.reason);
  return el('tr', {},
    el('th', {scope: 'row'}, el('a', {href: address('/unit', {shop: batch.key.shop, product: batch.key.product, unit: one.unit, run: one.run})}, one.unit)),
    el('td', {}, mark(one.verdict), one.uncalibrated && mark('uncalibrated')),
    el('td', {className: 'what', title: one.failed.join(', ')}, el('span', {}, what)),
    el('td', {className: 'number wide'}, String(one.runs)),
    el('td', {className: 'wide'}, one.station),
    el('td', {className: 'number wide'}, clock(one.ended)));
}

function failure(batch, most, row) {
  const bar = el('span', {className: 'bar', ariaHidden: 'true'});
  bar.style.inlineSize = `${(100 * row.units) / most}%`;
  const name = row.result
    ? el('a', {href: address('/result', {...batchOf(batch.key), name: row.name})}, row.name)
    : el('span', {}, `${row.name}, before a result failed`);
  return el('tr', {},
    el('th', {scope: 'row'}, name, bar),
    el('td', {className: 'number'}, String(row.units)),
    el('td', {className: 'number'}, percent(row.cumulative)));
}

function announce(batch) {
  const runs = new Map(batch.units.map(one => [one.run + one.unit, one]));
  if (known && pages.number === 0) {
    const news = [...runs.values()].filter(one => !known.has(one.run + one.unit));
    if (news.length) say(byId('news'), news.map(one => `${one.unit}: ${one.verdict}`).join('. '));
  }
  known = new Set(runs.keys());
}

function choices(overview) {
  const select = byId('batches');
  keyed(select, overview.batches, JSON.stringify, key =>
    el('option', {value: JSON.stringify(key)}, `${nameOf(key)} (${key.shop})`));
  byId('choose').hidden = overview.batches.length < 2;
  if (overview.batch && document.activeElement !== select) select.value = JSON.stringify(overview.batch.key);
}

/** A station that tests and has not been heard of for long says so, to the minute. */
function silent(station, now) {
  const minutes = Math.floor((now - station.heard) / 60_000);
  return {...station, silentMinutes: station.state === 'running' && minutes >= LONG_SILENCE ? minutes : 0};
}

/** On the wall those at work or in need of somebody first. */
function cards(all, most) {
  const some = all.length > most ? [...all].sort((a, b) => rank(a) - rank(b)).slice(0, most) : all;
  keyed(byId('stations'), some, s => `${s.shop}\n${s.station}`, card);
  const left = all.filter(one => !some.includes(one));
  const counts = STATES.map(([state, word]) => [left.filter(one => one.state === state).length, word]).filter(([number]) => number > 0);
  const live = left.filter(notToOpen).length;
  say(byId('more-stations'), left.length
    ? `and ${left.length} more: ${counts.map(([number, word]) => `${number} ${word}`).join(', ')}` : '');
  keyed(byId('more-live'), live ? [live] : [], String, number => mark('opening no', `${number} of these: do not open`));
}

const STATES = [['running', 'testing'], ['online', 'ready'], ['offline', 'offline'], ['unknown', 'not told']];
const notToOpen = station => !!station.opening && station.opening.safe !== 'yes';

/** First what nobody watches over and may be live, then who works; last who has said nothing. */
const rank = station => station.state !== 'running' && notToOpen(station) ? 0 : STATES.findIndex(([state]) => state === station.state) + 1;

/** The tables. */
function tables(batch, rows) {
  const most = Math.max(1, ...batch.failures.map(row => row.units));
  keyed(byId('units'), batch.units.slice(0, rows), one => one.run + one.unit, one => unit(batch, one));
  keyed(byId('failures'), batch.failures.slice(0, rows), row => `${row.result} ${row.name}`, row => failure(batch, most, row));
  byId('no-failures').hidden = batch.failures.length > 0 || rows === 0;
  byId('pareto').hidden = batch.failures.length === 0;
}

/** On the wall nothing has to be scrolled: it shows fewer rows, and then fewer stations, until all fits. */
function fit(stations, batch) {
  const fits = () => document.documentElement.scrollHeight <= innerHeight;
  document.body.classList.toggle('many', wall && stations.length > WALL_CARDS);
  let most = wall ? Math.min(stations.length, WALL_STATIONS) : stations.length;
  cards(stations, most);
  if (!wall) {
    if (batch) tables(batch, batch.pageSize);
    return;
  }
  for (let rows = WALL_ROWS; batch && rows >= 0; rows--) {
    tables(batch, rows);
    if (fits()) return;
  }
  while (most > 1 && !fits()) cards(stations, --most);
  for (let rows = 1; batch && rows <= WALL_ROWS && fits(); rows++) {
    tables(batch, rows);
    if (!fits()) return tables(batch, rows - 1);
  }
}

function show(overview) {
  byId('no-stations').hidden = overview.stations.length > 0;
  choices(overview);
  const batch = overview.batch;
  byId('batch').hidden = !batch;
  if (batch) {
    say(byId('batch-title'), `Batch ${nameOf(batch.key)}`);
    keyed(byId('figures'), (wall ? few(figures(batch, overview.now)) : figures(batch, overview.now)), one => one.word, one =>
      el('div', {}, el('dt', {}, one.word), el('dd', {className: 'big'}, one.state ? mark(one.state, one.number) : one.number), el('dd', {className: 'quiet'}, one.more)));
    announce(batch);
    pages.show(batch, batch.finished);
  }
  if (wall) say(document.querySelector('.home'), batch ? nameOf(batch.key) : 'Shop board');
  fit(overview.stations.map(one => silent(one, overview.now)), batch);
  const count = overview.count;
  const bad = [['malformed', count.malformed], ['oversized', count.oversized], ['refused', count.refused], ['forgotten', count.forgotten]]
    .filter(([, number]) => number > 0).map(([word, number]) => `${number} ${word}`);
  say(byId('counts'), `${count.messages} messages${bad.length ? `, of these ${bad.join(', ')}` : ''}`);
}

let shown = null;
wayThere();
const ask = live(where, overview => show(shown = overview), 'the board', () => wall && shown && show(shown));
byId('batches').addEventListener('change', event => {
  const key = JSON.parse(event.target.value);
  for (const [name, value] of Object.entries(batchOf(key))) wanted.set(name, value);
  pages.number = 0;
  known = null;
  history.replaceState(null, '', `?${wanted}`);
  wayThere();
  ask();
});
