import { themeCss } from '@fairbed/report';

// The drawings' own tones, in a layer below the page's: where the page has a tone for the same
// thing (paper, ink) its own wins, and both change together.
const css = `@layer drawing {
  :root { ${themeCss('light')} }
  @media (prefers-color-scheme: dark) { :root { ${themeCss('dark')} } }
  @media (prefers-contrast: more) and (prefers-color-scheme: light) {
    :root { ${themeCss('contrast')} }
  }
}`;

/** The colours of every chart, light, dark and high contrast. */
export const DrawingTones = () => <style>{css}</style>;
