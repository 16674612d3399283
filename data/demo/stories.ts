import type { Story } from './garden';

/**
 * Chard in an allotment that does not exist. The truth: water does nothing, bicarbonate prevents a
 * little, the bacterium a good deal, and stripping hard prevents nothing: the last fortnight was
 * dry, so its plots look clean at the end because every spotted leaf is on the heap.
 */
export const chard: Story = {
  seed: 20_260_504,
  head: {
    id: 'demo-chard-leaf-spot',
    title: 'Chard leaf spot at Tallow Lane (invented)',
    question: 'Which of four ways leaves the most clean chard leaves, beside doing nothing?',
    note: 'An invented trial: no such garden, season or harvest. Made by data/demo/make.ts from a seed; the truth behind it is in data/demo/truth.json. In every plot the leaves more than half covered were stripped after scoring; in the plots called Strip hard every leaf with a spot was.',
    crop: { name: 'Chard', scientificName: 'Beta vulgaris' },
    diseases: [{ id: 'leaf-spot', name: 'Leaf spot', scientificName: 'Cercospora beticola' }],
    garden: { name: 'Tallow Lane allotments', place: 'Upper Morrowby, an invented village' },
    plan: { smallestDifferencePercent: 40, blind: true },
  },
  treatments: [
    {
      treatment: { id: 'untreated', name: 'Untreated', kind: 'untreated' },
      prevents: 0,
      strips: 0.3,
    },
    {
      treatment: { id: 'water', name: 'Water only', kind: 'water-only' },
      prevents: 0,
      strips: 0.3,
    },
    {
      treatment: {
        id: 'bicarbonate',
        name: 'Potassium bicarbonate',
        kind: 'product',
        activeIngredient: 'potassium bicarbonate',
      },
      prevents: 0.3,
      strips: 0.3,
    },
    {
      treatment: {
        id: 'bacillus',
        name: 'Bacillus amyloliquefaciens',
        kind: 'product',
        activeIngredient: 'Bacillus amyloliquefaciens',
        modeOfAction: 'BM02',
      },
      prevents: 0.65,
      strips: 0.3,
    },
    {
      treatment: {
        id: 'strip-hard',
        name: 'Strip hard',
        kind: 'practice',
        practice: { what: 'leaf removal', value: 'every leaf with a spot, after each round' },
      },
      prevents: 0,
      strips: 1,
    },
  ],
  blocks: 4,
  plants: 6,
  firstDay: '2026-06-01',
  roundDays: [0, 7, 14, 22, 28, 35],
  weeks: [
    { pressure: 0.06, storm: 0 },
    { pressure: 0.16, storm: 0 },
    { pressure: 0.26, storm: 0 },
    { pressure: 0.24, storm: 0.14 },
    { pressure: 0.08, storm: 0 },
    { pressure: 0.02, storm: 0 },
  ],
  growth: { firstLeaves: 7, newLeavesPerWeek: 1.9, ageing: 0.02 },
  spread: { block: 0.15, plot: 0.12, plant: 0.2 },
  storm: { afterDays: 18, note: 'Thunderstorm with gusts in the night; leaves torn off.' },
  lost: {
    treatment: 'water',
    block: 2,
    afterDays: 25,
    why: 'A load of manure was tipped on it.',
  },
  randomised: true,
  sprays: ['water', 'bicarbonate', 'bacillus'].map((treatment) => ({
    treatment,
    afterDays: [0, 7, 14, 22, 28],
  })),
};

/**
 * Leeks, one plot for each way of growing them. The truth: none of the ways does anything; the
 * plots differ as plots do. The seed was chosen so that one of them looks like a winner.
 */
export const leek: Story = {
  seed: 20_260_821,
  head: {
    id: 'demo-leek-rust',
    title: 'Leek rust, one plot each (invented)',
    question: 'Does wider spacing or morning watering keep rust off the leeks?',
    note: 'An invented trial with a single plot for each way of growing: a contrast to the chard trial. Made by data/demo/make.ts from a seed.',
    crop: { name: 'Leek', scientificName: 'Allium porrum' },
    diseases: [{ id: 'rust', name: 'Leek rust', scientificName: 'Puccinia allii' }],
    garden: { name: 'The plot behind the chapel', place: 'Upper Morrowby, an invented village' },
    plan: { smallestDifferencePercent: 40, blind: false },
  },
  treatments: [
    {
      treatment: { id: 'as-usual', name: 'As usual', kind: 'untreated' },
      prevents: 0,
      strips: 0.5,
    },
    {
      treatment: {
        id: 'wide',
        name: 'Wide spacing',
        kind: 'practice',
        practice: { what: 'spacing', value: '30 cm in place of 15 cm' },
      },
      prevents: 0,
      strips: 0.5,
    },
    {
      treatment: {
        id: 'morning',
        name: 'Morning watering',
        kind: 'practice',
        practice: { what: 'watering hour', value: 'before 9 in place of evening' },
      },
      prevents: 0,
      strips: 0.5,
    },
    {
      treatment: {
        id: 'both',
        name: 'Wide spacing and morning watering',
        kind: 'practice',
        practice: { what: 'spacing and watering hour', value: '30 cm, before 9' },
      },
      prevents: 0,
      strips: 0.5,
    },
  ],
  blocks: 1,
  plants: 8,
  firstDay: '2026-08-17',
  roundDays: [0, 7, 14, 21, 29],
  weeks: [
    { pressure: 0.05, storm: 0 },
    { pressure: 0.12, storm: 0 },
    { pressure: 0.2, storm: 0 },
    { pressure: 0.2, storm: 0 },
    { pressure: 0.12, storm: 0 },
  ],
  growth: { firstLeaves: 6, newLeavesPerWeek: 0.9, ageing: 0.03 },
  spread: { block: 0, plot: 0.35, plant: 0.2 },
  randomised: false,
  sprays: [],
};
