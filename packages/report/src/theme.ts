/**
 * The inks and papers of every drawing. A drawing names a tone; a page answers with a custom
 * property (`--fb-ink` and so on), and where there is none the light tone is used. A file on its
 * own has no page around it, so `renderSvg` writes the tone itself into it.
 */
const light = {
  paper: '#fbf8f1',
  ink: '#2b2a26',
  'ink-soft': '#5c574c',
  line: '#d5cebf',
  soil: '#8d6f55',
  'soil-edge': '#5d4633',
  plot: '#fffdf8',
  worth: '#e4e9d6',
  'worth-edge': '#5b6b33',
  control: '#6f6f6f',
  value: '#a9855f',
  healthy: '#a9cf9d',
  diseased: '#8a3b12',
  stripped: '#f3e2bd',
  lost: '#ffffff',
  'mark-black': '#000000',
  'mark-orange': '#e69f00',
  'mark-sky': '#56b4e9',
  'mark-green': '#009e73',
  'mark-yellow': '#f0e442',
  'mark-blue': '#0072b2',
  'mark-vermillion': '#d55e00',
  'mark-purple': '#cc79a7',
  'line-black': '#000000',
  'line-orange': '#a86f00',
  'line-sky': '#2079ad',
  'line-green': '#007f5c',
  'line-yellow': '#857b00',
  'line-blue': '#0072b2',
  'line-vermillion': '#bf5300',
  'line-purple': '#b0558a',
} as const;

export type Tone = keyof typeof light;
export type Theme = Readonly<Record<Tone, string>>;
export type ThemeName = 'light' | 'dark' | 'contrast' | 'print';

const dark: Theme = {
  ...light,
  paper: '#1d1c19',
  ink: '#f2eee3',
  'ink-soft': '#bfb8a8',
  line: '#46423a',
  soil: '#4d3b2c',
  'soil-edge': '#8d6f55',
  plot: '#2a2823',
  worth: '#313826',
  'worth-edge': '#b4c78a',
  control: '#b3b3b3',
  value: '#8f6d4b',
  healthy: '#4f7d45',
  diseased: '#e08a5b',
  stripped: '#6d5c37',
  lost: '#1d1c19',
  'mark-black': '#ffffff',
  'line-black': '#ffffff',
  'line-orange': '#e69f00',
  'line-sky': '#56b4e9',
  'line-green': '#1fb389',
  'line-yellow': '#f0e442',
  'line-blue': '#4aa3d8',
  'line-vermillion': '#ec7a24',
  'line-purple': '#d98fb7',
};

const contrast: Theme = {
  ...light,
  paper: '#ffffff',
  ink: '#000000',
  'ink-soft': '#2b2b2b',
  line: '#8a8a8a',
  soil: '#c9b39d',
  'soil-edge': '#000000',
  plot: '#ffffff',
  worth: '#e6f0d0',
  'worth-edge': '#2c3a00',
  control: '#4a4a4a',
  value: '#c9a27a',
};

const print: Theme = { ...light, paper: '#ffffff', plot: '#ffffff', line: '#bbbbbb' };

/** Tones by theme. Text tones keep 4.5:1 on paper and plot, line tones 3:1 (checked by a test). */
export const themes: Readonly<Record<ThemeName, Theme>> = { light, dark, contrast, print };

/** A tone as a CSS colour: the page's custom property, the light tone where there is none. */
export const tone = (name: Tone): string => `var(--fb-${name}, ${light[name]})`;

/** The custom properties of a theme as CSS declarations, for a rule such as `:root { ... }`. */
export const themeCss = (name: ThemeName): string =>
  Object.entries(themes[name])
    .map(([key, value]) => `--fb-${key}: ${value};`)
    .join('\n');

const reference = /var\(--fb-([a-z-]+), (#[0-9a-f]{6})\)/g;

/** Replaces every tone in a drawing by its colour in a theme: for files with no page around them. */
export const resolveTones = (svg: string, name: ThemeName): string =>
  svg.replace(reference, (_, key: string, fallback: string) =>
    key in themes[name] ? themes[name][key as Tone] : fallback,
  );

export const fontStack =
  "'Atkinson Hyperlegible Next Variable', 'Atkinson Hyperlegible Next', Arial, 'Liberation Sans', sans-serif";
