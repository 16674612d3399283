import type { ReactElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import { resolveTones, type ThemeName } from './theme';

/**
 * A chart as the text of an SVG file that stands alone: colours written out in a theme, no style
 * sheet needed. `idPrefix` keeps ids apart where several stand in one page.
 */
export function renderSvg(
  chart: ReactElement,
  options: { readonly theme?: ThemeName; readonly idPrefix?: string } = {},
): string {
  const markup = renderToStaticMarkup(chart, { identifierPrefix: options.idPrefix ?? '' });
  return resolveTones(markup, options.theme ?? 'light');
}
