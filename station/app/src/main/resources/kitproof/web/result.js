// One result across the units of a batch.
import {address, byId, el, keyed, mark, say} from './dom.js';
import {live} from './live.js';
import {Curves, keepFitting} from './curves.js';
import {Pages} from './pages.js';
import {Values} from './values.js';

const wanted = new URLSearchParams(location.search);
let chart = null;
let drawn = '';

const pages = new Pages(() => ask());
const where = () => address('/api/result', {...Object.fromEntries(wanted), page: pages.number});

function draw(view) {
  const content = JSON.stringify([view.points, view.curves, view.spread]);
  if (content === drawn) return;
  drawn = content;
  chart?.destroy();
  chart = null;
  if (view.curves.length) {
    chart = new Curves(view.conditions || view.name, view.curves.map(line => ({...line.curve, label: line.unit, outcome: line.outcome})), 'h2');
  } else if (view.points.some(one => one.mean !== null)) {
    chart = new Values(view);
  }
  byId('chart').replaceChildren(...(chart ? [chart.node] : []));
  chart?.draw();
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
  say(byId('facts'), [view.batch.product, view.batch.batch && `batch ${view.batch.batch}`, view.conditions,
    view.notPassed ? `${view.notPassed} of ${view.units} not passed` : `${view.units} ${view.units === 1 ? 'unit' : 'units'}`,
    view.without ? `the results of ${view.without} more units are not here` : ''].filter(part => part).join(' · '));
  byId('choose').hidden = view.variants.length < 2;
  keyed(byId('variants'), view.variants, one => one, one => el('option', {value: one}, one || 'none'));
  byId('variants').value = view.conditions;
  draw(view);
  pages.show(view, view.units);
  keyed(byId('values'), view.values, one => one.run, one => el('tr', {className: one.outcome === 'pass' || one.outcome === 'not judged' ? '' : 'bad'},
    el('th', {scope: 'row'}, el('a', {href: address('/unit', {shop: view.batch.shop, product: view.batch.product, unit: one.unit, run: one.run})}, one.unit)),
    el('td', {className: 'number'}, one.shown, one.limit && el('span', {className: 'narrow quiet'}, one.limit)),
    el('td', {className: 'wide'}, one.limit),
    el('td', {}, mark(one.outcome))));
}

const ask = live(where, show);
byId('variants').addEventListener('change', event => {
  pages.number = 0;
  wanted.set('conditions', event.target.value);
  history.replaceState(null, '', `?${wanted}`);
  ask();
});
keepFitting(() => (chart ? [chart] : []));
