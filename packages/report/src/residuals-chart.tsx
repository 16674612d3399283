import type { ReactElement } from 'react';
import { axisRoom, LeftAxis, textBlock, type ValueScale, valueScale } from './axis';
import { numberFormat, signed } from './format';
import { type ChartProps, Frame, Pickable, round, smallestWidth, TextLines, type } from './frame';
import { styleOf } from './marks';
import {
  describeResiduals,
  farPlots,
  fittedTitle,
  type Residual,
  scoresTitle,
} from './residuals-text';
import { textWidth } from './text';
import { tone } from './theme';
import { TreatmentMark } from './treatment-mark';

export type ResidualsChartProps = ChartProps & {
  readonly residuals: readonly Residual[];
  /** Treatment of a plot, by its name. */
  readonly treatmentOf: ReadonlyMap<string, string>;
};

/**
 * Two pictures of what the model leaves over, for whoever wants to judge it: against what it
 * expects (a funnel means the scale is wrong), and against normal scores (a straight line means
 * the intervals can be trusted).
 */
export function ResidualsChart(props: ResidualsChartProps): ReactElement {
  const width = Math.max(smallestWidth, props.width);
  const stacked = width < 620;
  const each = stacked ? width : Math.floor(width / 2);
  const panels = panelsOf(props, each);
  const height = panels[0].height;
  const second = stacked ? `translate(0 ${Math.ceil(height)})` : `translate(${each} 0)`;
  return (
    <Frame
      width={width}
      height={stacked ? panels[0].height + panels[1].height : Math.max(height, panels[1].height)}
      title="What the model leaves over of each plot"
      description={describeResiduals(props.residuals)}
      onPick={props.onPick}
    >
      <Panel {...props} panel={panels[0]} named />
      <g transform={second}>
        <Panel {...props} panel={panels[1]} named={false} />
      </g>
    </Frame>
  );
}

/** Dots lie close: a larger target would hide its neighbours (plots are larger in the map). */
const dotHit = 24;

type Dot = { readonly plot: string; readonly x: number; readonly y: number };
type PanelShape = {
  readonly title: readonly string[];
  readonly below: string;
  readonly dots: readonly Dot[];
  readonly across: ValueScale;
  readonly up: ValueScale;
  readonly bottom: number;
  readonly height: number;
  /** Where points of a model that fits would lie: y = x, or y = 0. */
  readonly diagonal: boolean;
};

function panelsOf({ residuals }: ResidualsChartProps, width: number): [PanelShape, PanelShape] {
  const fitted = residuals.map(({ plot, fitted: x, residual: y }) => ({ plot, x, y }));
  const scores = residuals.flatMap(({ plot, normalScore: x, studentised: y }) =>
    x === null || y === null ? [] : [{ plot, x, y }],
  );
  return [
    panelOf({ dots: fitted, width, title: fittedTitle, below: 'expected', diagonal: false }),
    panelOf({
      dots: scores,
      width,
      title: scoresTitle,
      below: 'by chance alone, standard errors',
      diagonal: true,
    }),
  ];
}

function panelOf(of: {
  readonly dots: readonly Dot[];
  readonly width: number;
  readonly title: string;
  readonly below: string;
  readonly diagonal: boolean;
}): PanelShape {
  const { dots, width, below, diagonal } = of;
  const title = textBlock(of.title, width - 20);
  const top = title.height + 24;
  const bottom = top + 190;
  const ys = dots.map(({ y }) => y);
  const reach = Math.max(0, ...ys.map(Math.abs));
  const up = valueScale([-reach, reach, 0], { from: bottom, to: top, roomPerTick: 36 });
  const left = axisRoom(up) + 16;
  const xs = dots.map(({ x }) => x);
  const across = valueScale(diagonal ? [...xs, -1, 1] : xs, {
    from: left,
    to: width - 22,
    roomPerTick: 44,
    across: true,
  });
  return { title: title.lines, below, dots, across, up, bottom, diagonal, height: bottom + 52 };
}

/** Ticks under a panel; its grid lines are those of the other axis. */
function Under({ panel }: { readonly panel: PanelShape }): ReactElement {
  const { across, bottom, below } = panel;
  return (
    <g aria-hidden="true">
      {across.ticks.map((value) => (
        <g key={value}>
          <path d={`M${across.at(value)} ${bottom}v5`} stroke={tone('ink-soft')} />
          <TextLines
            lines={[across.label(value)]}
            x={across.at(value)}
            y={bottom + 14}
            size={type.tick}
            anchor="middle"
            soft
          />
        </g>
      ))}
      <TextLines
        lines={[below]}
        x={across.at(across.high)}
        y={bottom + 34}
        size={type.tick}
        anchor="end"
        soft
      />
    </g>
  );
}

function Reference({ panel }: { readonly panel: PanelShape }): ReactElement | null {
  const { across, up, diagonal } = panel;
  if (!diagonal) return null;
  const low = Math.max(across.low, up.low);
  const high = Math.min(across.high, up.high);
  const d = `M${across.at(low)} ${up.at(low)}L${across.at(high)} ${up.at(high)}`;
  return <path d={d} stroke={tone('ink-soft')} strokeDasharray="5 4" aria-hidden="true" />;
}

function Panel(
  props: ResidualsChartProps & {
    readonly panel: PanelShape;
    /** Whether its dots are buttons with names; the other panel's follow a pointer only. */
    readonly named: boolean;
  },
): ReactElement {
  const { panel, residuals, lit } = props;
  const { across, up } = panel;
  const far = new Set(farPlots(residuals).map(({ plot }) => plot));
  return (
    <>
      <TextLines lines={panel.title} x={10} y={14} bold />
      <LeftAxis scale={up} left={across.at(across.low) - 8} right={across.at(across.high) + 8} />
      <Under panel={panel} />
      <Reference panel={panel} />
      {panel.dots.map((dot) => (
        <PlotDot key={dot.plot} {...props} {...{ dot, across, up }} />
      ))}
      <g aria-hidden="true">
        {panel.dots
          .filter(({ plot }) => far.has(plot) || lit?.plot === plot)
          .map((dot) => (
            <DotName key={dot.plot} {...{ dot, across, up }} />
          ))}
      </g>
    </>
  );
}

/** The name of a plot that lies far off or is lit, on the side with room. */
function DotName(props: {
  readonly dot: Dot;
  readonly across: ValueScale;
  readonly up: ValueScale;
}): ReactElement {
  const { dot, across, up } = props;
  const x = across.at(dot.x);
  const roomy = x + 10 + textWidth(dot.plot, type.tick) < across.at(across.high) + 20;
  return (
    <g stroke={tone('paper')} paintOrder="stroke" strokeWidth={4} strokeLinejoin="round">
      <TextLines
        lines={[dot.plot]}
        x={round(roomy ? x + 9 : x - 9)}
        y={up.at(dot.y)}
        size={type.tick}
        anchor={roomy ? 'start' : 'end'}
      />
    </g>
  );
}

function PlotDot(
  props: ResidualsChartProps & {
    readonly dot: Dot;
    readonly across: ValueScale;
    readonly up: ValueScale;
    readonly named: boolean;
  },
): ReactElement {
  const { dot, across, up, residuals, treatmentOf, styles, lit, onPick, named } = props;
  const treatment = treatmentOf.get(dot.plot) ?? '';
  const [x, y] = [across.at(dot.x), up.at(dot.y)];
  const own = { treatment, plot: dot.plot };
  const isLit = lit?.plot === dot.plot;
  const mark = (
    <TreatmentMark treatment={styleOf(styles, treatment)} x={x} y={y} size={isLit ? 15 : 10} />
  );
  if (!named) {
    const pick = onPick ? { onClick: () => onPick(isLit ? undefined : own) } : {};
    return (
      <g {...pick} aria-hidden="true">
        {mark}
      </g>
    );
  }
  const residual = residuals.find(({ plot }) => plot === dot.plot)?.residual ?? 0;
  const format = numberFormat(residuals.map((one) => one.residual));
  const size = dotHit / 2;
  return (
    <Pickable
      pick={own}
      label={`plot ${dot.plot}, ${treatment}: ${signed(residual, format)} from what is expected`}
      hit={{ x: x - size, y: y - size, width: dotHit, height: dotHit }}
      {...{ lit, onPick }}
    >
      {mark}
    </Pickable>
  );
}
