// Charts of means and of ranges of units in a row.
import {quantity} from './curves.js';
import {Values} from './values.js';

const SIZES = [2, 3, 4, 5, 6, 7, 8, 9, 10];
export const USUAL = 5;
export {SIZES};

/** Both charts of a view's groups. */
export function chartsOf(view) {
  const {groups, size, means, ranges} = view.statistics.groups;
  const chart = (of, control, marks, about) => new Values({
    name: view.name,
    unit: view.unit,
    units: groups.length,
    guarded: null,
    points: groups.map(one => ({
      from: one.number, to: one.number, least: of(one), mean: of(one), most: of(one), notPassed: 0, low: null, high: null, one: null,
    })),
    statistics: {centre: control.centre, low: control.low, high: control.high, marks},
  }, {
    heading: 'h3',
    what: `groups of ${size} units`,
    judged: false,
    words: (point, rules) => {
      const group = groups.find(one => one.number === point.from);
      return `group ${group.number}, ${group.first} to ${group.last}: ${about.word} ${quantity(of(group), view.unit)}${rules ? `; ${rules.join('; ')}` : ''}`;
    },
    ...about,
  });
  return [
    chart(one => one.mean, means, groups.filter(one => one.rules.length).map(one => ({number: one.number, rules: one.rules})),
      {title: 'Means of groups', word: 'mean', mean: 'mean of all groups', control: 'control limits from the mean range'}),
    chart(one => one.range, ranges, groups.filter(one => one.beyond).map(one => ({number: one.number, rules: ['range beyond its limits']})),
      {title: 'Ranges of groups', word: 'range', mean: 'mean range', control: 'its control limits', ring: 'ring: range beyond its limits'}),
  ];
}

/** What is drawn, or why nothing is. */
export function wordsOf(view, size) {
  const groups = view.statistics?.groups;
  if (!groups) return `Two groups of ${size} units are needed, and values that differ.`;
  const all = groups.groups.length === groups.count ? '' : ` The latest ${groups.groups.length} of ${groups.count} groups; the control limits are of all.`;
  return `Each group is ${groups.size} units in a row in the order of testing; what is left over at the end is left out.${all}`;
}
