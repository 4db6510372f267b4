// A unit: its runs, and every result of one of them.
import {address, byId, clock, el, keyed, lasting, mark, opening, say, typeset} from './dom.js';
import {live} from './live.js';
import {keepFitting} from './chart.js';
import {Curves} from './curves.js';

const wanted = new URLSearchParams(location.search);
const about = () => ({shop: wanted.get('shop') ?? '', product: wanted.get('product') ?? '', unit: wanted.get('unit') ?? ''});
let view = null;
let other = null;
let charts = [];
let drawn = '';

const where = () => address('/api/unit', wanted.get('run') ? {...about(), run: wanted.get('run')} : about());
const judged = result => result.outcome !== 'not judged';
const failed = result => ['fail', 'in the guard band'].includes(result.outcome);

function facts(unit) {
  const parts = [unit.product + (unit.revision ? ` revision ${unit.revision}` : ''), unit.batch && `batch ${unit.batch}`, unit.plan, unit.station];
  if (unit.finished) parts.push(`finished ${clock(unit.finished)}`);
  else if (unit.started) parts.push(`begun ${clock(unit.started)}`);
  if (unit.started && unit.ended) parts.push(`took ${lasting((unit.ended - unit.started) / 1000)}${unit.finished ? ' of a simulated bench’s time' : ''}`);
  return parts.filter(part => part).join(' · ');
}

const limit = result => typeset([result.limit, result.guard].filter(part => part).join(', '));

function row(unit, result) {
  const name = el('a', {href: address('/result', {shop: unit.shop, product: unit.product, batch: unit.batch, name: result.name, conditions: result.conditions})}, result.name);
  const why = ['pass', 'not judged'].includes(result.outcome) || !result.detail ? null : el('span', {className: 'why'}, typeset(result.detail));
  const note = result.note || (unit.uncalibrated ? 'uncalibrated' : '');
  return el('tr', {className: failed(result) ? 'bad' : ''},
    el('th', {scope: 'row'}, name, result.conditions && el('span', {className: 'quiet conditions'}, typeset(result.conditions))),
    el('td', {className: 'wide'}, result.step),
    el('td', {className: 'number'}, typeset(result.value),
      result.uncertainty && el('span', {className: 'uncertainty quiet'}, typeset(result.uncertainty)), result.limit && el('span', {className: 'narrow quiet'}, limit(result)),
      note && el('span', {className: 'remark'}, typeset(note))),
    el('td', {className: 'wide'}, limit(result)),
    el('td', {}, mark(result.outcome), why));
}

/** Conditions that all lines share are said once. */
function sharedOut(group) {
  const parts = group.lines.map(line => line.conditions.split(', ').filter(part => part));
  const shared = parts[0].filter(part => parts.every(all => all.includes(part)));
  group.title = shared.length && group.lines.length > 1 ? `${group.name}, ${typeset(shared.join(', '))}` : group.name;
  group.lines.forEach((line, i) => {
    const own = group.lines.length > 1 ? parts[i].filter(part => !shared.includes(part)) : parts[i];
    line.label = [line.of, typeset(own.join(', '))].filter(part => part).join(', ') || line.unit;
  });
  return group;
}

/** The curves of one name and unit belong into one chart. */
function groups(unit) {
  const all = new Map();
  const put = (from, of) => {
    for (const result of from.results) {
      const curve = result.curve;
      if (!curve || !curve.x.length) continue;
      const key = `${result.name} ${curve.xUnit} ${curve.yUnit}`;
      if (!all.has(key)) all.set(key, {name: result.name, lines: []});
      all.get(key).lines.push({...curve, of, unit: from.unit, conditions: result.conditions, outcome: result.outcome});
    }
  };
  put(unit, other ? unit.unit : '');
  const known = new Set(all.keys());
  if (other) put(other, other.unit);
  return [...all].filter(([key]) => known.has(key)).map(([, group]) => sharedOut(group));
}

function drawCurves(unit) {
  const all = groups(unit);
  byId('curves-part').hidden = all.length === 0;
  const content = JSON.stringify(all);
  if (content === drawn) return; // a cursor or a zoom is not to be lost for nothing
  drawn = content;
  charts.forEach(chart => chart.destroy());
  charts = all.map(group => new Curves(group.title, group.lines));
  byId('curves').replaceChildren(...charts.map(chart => chart.node));
  charts.forEach(chart => chart.draw());
}

function show(unit) {
  view = unit;
  byId('none').hidden = !!unit;
  byId('unit').hidden = !unit;
  if (!unit) {
    say(byId('none'), `Nothing has been told of unit ${wanted.get('unit') ?? ''}.`);
    return;
  }
  document.title = `${unit.unit} – Shop board`;
  say(byId('serial'), unit.unit);
  keyed(byId('verdict'), [unit.verdict ?? 'running'], word => word, mark);
  keyed(byId('standing'), unit.uncalibrated ? ['uncalibrated'] : [], word => word, mark);
  say(byId('facts'), facts(unit));
  const told = unit.opening && {...unit.opening, reason: unit.opening.reason + (unit.ended ? ' (told in this run, not of later ones)' : '')};
  keyed(byId('opening'), told ? [told] : [], () => 'opening', opening);
  const reason = unit.reason && !unit.failed.length ? [unit.reason] : [];
  keyed(byId('notices'), [...new Set([...reason, ...unit.notices])], text => text, text => el('li', {}, typeset(text)));
  byId('failed-part').hidden = unit.failed.length === 0;
  keyed(byId('failed'), [...new Set(unit.failed)], title => title, title => {
    const result = unit.results.find(one => failed(one) && title === (one.conditions ? `${one.name} (${one.conditions})` : one.name));
    return el('li', {}, mark(result?.outcome ?? 'fail'), ' ', typeset(title), result?.detail ? `: ${typeset(result.detail)}` : '');
  });
  byId('choose').hidden = unit.runs.length < 2;
  keyed(byId('runs'), unit.runs, run => run.run, run =>
    el('option', {value: run.run}, `${run.started ? clock(run.started) : run.run}, ${run.verdict ?? 'running'}`));
  byId('runs').value = unit.run;
  drawCurves(unit);
  const only = byId('only').checked;
  const numbered = unit.results.map((result, i) => ({...result, i}));
  keyed(byId('results'), numbered.filter(result => only ? failed(result) : judged(result)),
    result => String(result.i), result => row(unit, result));
  const rest = numbered.filter(result => !judged(result));
  byId('unjudged-part').hidden = only || rest.length === 0;
  say(byId('unjudged-title'), `${rest.length} ${rest.length === 1 ? 'result' : 'results'} that nothing judges`);
  keyed(byId('unjudged'), rest, result => String(result.i), result => row(unit, result));
  const partial = byId('partial');
  const lacks = unit.missing ? unit.results.length
    ? `Of ${unit.missing} results there is no more here than you see, or nothing; the station's record has all.`
    : `${unit.missing} results are not here; the station's record has them.` : '';
  const early = unit.partial ? 'This board has not heard this run from its start: earlier results come with the verdict.' : '';
  say(partial, [lacks, early].filter(text => text).join(' '));
  partial.hidden = !unit.missing && !unit.partial;
}

async function others() {
  if (!view || byId('other').dataset.filled) return;
  byId('other').dataset.filled = 'yes';
  const answer = await fetch(address('/api/overview', {shop: view.shop, product: view.product, batch: view.batch, page: 0}));
  const batch = answer.ok ? (await answer.json()).batch : null;
  for (const one of batch?.units ?? []) {
    if (one.run !== view.run) byId('other').append(el('option', {value: JSON.stringify({unit: one.unit, run: one.run})}, `${one.unit}, ${one.verdict}`));
  }
}

const ask = live(where, unit => {
  show(unit);
  others();
});
byId('runs').addEventListener('change', event => {
  wanted.set('run', event.target.value);
  history.replaceState(null, '', `?${wanted}`);
  ask();
});
byId('only').addEventListener('change', () => view && show(view));
byId('other').addEventListener('change', async event => {
  other = null;
  if (event.target.value) {
    const answer = await fetch(address('/api/unit', {...about(), ...JSON.parse(event.target.value)}));
    other = answer.ok ? await answer.json() : null;
  }
  if (view) drawCurves(view);
});
keepFitting(() => charts);
