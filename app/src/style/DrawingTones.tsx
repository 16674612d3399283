import { themeCss } from '@fairbed/report';

// The drawings' own tones, in a layer below the page's: where the page has a tone for the same
// thing (paper, ink) its own wins, and both change together.
const css = `@layer drawing {
  :root { ${themeCss('light')} }
  @media screen and (prefers-color-scheme: dark) { :root { ${themeCss('dark')} } }
  @media screen and (prefers-contrast: more) and (prefers-color-scheme: light) {
    :root { ${themeCss('contrast')} }
  }
  @media print { :root { ${themeCss('print')} } }
}`;

/** The colours of every chart, light, dark and high contrast. */
export const DrawingTones = () => <style>{css}</style>;
