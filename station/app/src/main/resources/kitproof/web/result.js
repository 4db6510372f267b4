// One result across the units of a batch.
import {address, byId, el, keyed, mark, say, typeset} from './dom.js';
import {live} from './live.js';
import {keepFitting} from './chart.js';
import {Curves} from './curves.js';
import {Pages} from './pages.js';
import {Trends} from './trends.js';
import {Values} from './values.js';

const wanted = new URLSearchParams(location.search);
let chart = null;
let drawn = '';

const pages = new Pages(() => ask());
const trends = new Trends(wanted, () => asked());
const where = () => address('/api/result', {...Object.fromEntries(wanted), ...trends.asked, page: pages.number});

function draw(view) {
  const content = JSON.stringify([view.points, view.curves, view.statistics && {...view.statistics, groups: null, against: null}, view.guarded]);
  if (content === drawn) return;
  drawn = content;
  chart?.destroy();
  chart = null;
  if (view.curves.length) {
    chart = new Curves(typeset(view.conditions) || view.name, view.curves.map(line => ({...line.curve, label: line.unit, outcome: line.outcome})), 'h2');
  } else if (view.points.some(one => one.mean !== null)) {
    chart = new Values(view);
  }
  byId('chart').replaceChildren(...(chart ? [chart.node] : []));
  chart?.draw();
}

/** What the values tell, in the words of the batch's report. */
function tell(statistics) {
  byId('statistics-part').hidden = !statistics;
  if (!statistics) return;
  keyed(byId('statistics'), statistics.facts, fact => fact.word, fact =>
    el('div', {}, el('dt', {}, fact.word), el('dd', {className: 'big'}, typeset(fact.value)), el('dd', {className: 'quiet'}, fact.more)));
  keyed(byId('remarks'), statistics.remarks, text => text, text => el('li', {}, typeset(text)));
  say(byId('warnings'), statistics.warnings.length ? `With care: ${statistics.warnings.join(', ')}.` : '');
}

function show(view) {
  byId('none').hidden = !!view;
  byId('result').hidden = !view;
  if (!view) {
    say(byId('none'), `No unit of this batch has a result named ${wanted.get('name') ?? ''}.`);
    return;
  }
  document.title = `${view.name} – Shop board`;
  say(byId('name'), view.name);
  say(byId('facts'), [view.batch.product, view.batch.batch && `batch ${view.batch.batch}`, typeset(view.conditions),
    `${view.units} ${view.units === 1 ? 'unit' : 'units'}, ${view.notPassed ? `${view.notPassed} not passed` : 'none failed'} in the last run`,
    `in first runs it failed in ${view.firstFailed || 'none'}${view.variants.length > 1 ? ', under whichever conditions' : ''}`,
    view.without ? `the results of ${view.without} more units are not here` : ''].filter(part => part).join(' · '));
  byId('choose').hidden = view.variants.length < 2;
  keyed(byId('variants'), view.variants, one => one, one => el('option', {value: one}, typeset(one) || 'none'));
  byId('variants').value = view.conditions;
  draw(view);
  tell(view.statistics);
  trends.show(view);
  pages.show(view, view.units);
  keyed(byId('values'), view.values, one => one.run, one => el('tr', {className: one.outcome === 'pass' || one.outcome === 'not judged' ? '' : 'bad'},
    el('th', {scope: 'row'}, el('a', {href: address('/unit', {shop: view.batch.shop, product: view.batch.product, unit: one.unit, run: one.run})}, one.unit)),
    el('td', {className: 'number'}, typeset(one.shown), one.limit && el('span', {className: 'narrow quiet'}, typeset(one.limit)),
      one.uncalibrated && el('span', {className: 'remark'}, 'uncalibrated')),
    el('td', {className: 'wide'}, typeset(one.limit)),
    el('td', {}, mark(one.outcome), one.firstFailed && el('span', {className: 'before quiet'}, 'failed in its first run'))));
}

const ask = live(where, show);

/** Asks for what was chosen; the address of the page says so too. */
function asked() {
  history.replaceState(null, '', `?${wanted}`);
  ask();
}

byId('variants').addEventListener('change', event => {
  pages.number = 0;
  wanted.set('conditions', event.target.value);
  asked();
});
keepFitting(() => [...(chart ? [chart] : []), ...trends.charts]);
