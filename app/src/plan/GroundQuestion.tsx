import { largestPlot, plantsIn } from '@fairbed/trial';
import { useAnnounce } from '../Announcer';
import { counted } from '../verdict/numbers';
import { BaselineFields } from './BaselineFields';
import { type Bed, BedCard } from './BedCard';
import { BedSketch, spacingOf } from './BedSketch';
import { NumberField } from './Field';
import { metres } from './figures';
import { fitRequestOf } from './layout';
import { Question } from './Question';
import type { Plan } from './usePlan';
import { nextId } from './values';

/** Metres: a new bed, and the path left beside the one before. */
const firstBed = { width: 1.2, height: 10 };
const between = 0.6;

function bedAfter(beds: readonly Bed[], ids: readonly string[]): Bed {
  const last = beds.at(-1);
  const id = nextId('b', ids);
  const east = beds.map(({ x = 0, width }) => x + width);
  const x = last === undefined ? 0 : Math.round((Math.max(...east) + between) * 100) / 100;
  const { width, height } = last ?? firstBed;
  return { id, name: `Bed ${id.slice(1)}`, x, y: last?.y ?? 0, width, height };
}

/** The plan's map: the beds, and the plots where they fit. */
export function GroundMap({
  plan,
  maxHeight,
}: {
  readonly plan: Plan;
  readonly maxHeight?: number;
}) {
  const { beds = [] } = plan.values;
  const cells = plan.places.state === 'fit' ? plan.places.cells : [];
  return (
    <BedSketch
      beds={beds}
      cells={cells}
      spacing={spacingOf(plan.values, plan.more.guardRows)}
      blocks={plan.request.kind !== 'completely-randomised'}
      maxHeight={maxHeight}
    />
  );
}

function Beds({ plan }: { readonly plan: Plan }) {
  const announce = useAnnounce();
  const { beds = [] } = plan.values;
  const keep = (next: readonly Bed[]): void => plan.set({ beds: [...next] });
  return (
    <>
      {beds.length > 0 && (
        <ul className="plan-cards" aria-label="Beds">
          {beds.map((bed) => (
            <BedCard
              key={bed.id}
              bed={bed}
              only={beds.length === 1}
              onChange={(next) => keep(beds.map((one) => (one.id === next.id ? next : one)))}
              onRemove={() => {
                keep(beds.filter((one) => one.id !== bed.id));
                announce(`${bed.name} removed. Undo brings it back.`);
              }}
            />
          ))}
        </ul>
      )}
      <button
        type="button"
        className="button quiet"
        onClick={() => keep([...beds, bedAfter(beds, plan.everIds('beds'))])}
      >
        {beds.length === 0 ? 'Draw a bed' : 'Draw another bed'}
      </button>
    </>
  );
}

/** Whether the plots fit; if not, what would. */
function Fit({ plan }: { readonly plan: Plan }) {
  const { places, facts, values, more } = plan;
  if (places.state === 'none') return null;
  if (places.state === 'fit') {
    return (
      <>
        <p data-testid="fit">{counted(places.cells.length, 'plot')} fit into the beds.</p>
        {places.notes.map((note) => (
          <p key={note.code} className="plan-caution">
            {note.what} {note.do}
          </p>
        ))}
      </>
    );
  }
  const useLargest = (): void => {
    const asked = fitRequestOf(values, more, facts.ok ? facts.plots : 0);
    const largest = asked && largestPlot(asked);
    if (largest !== undefined) plan.set({ plotSize: largest });
  };
  return (
    <div className="plan-caution" role="status">
      <p data-testid="fit">
        {places.problem.what} {places.problem.do}
      </p>
      {places.problem.code === 'plots-do-not-fit' && (
        <button type="button" className="button quiet" onClick={useLargest}>
          Take the largest plots that fit
        </button>
      )}
    </div>
  );
}

const short = { least: 0, most: 100, unit: 'm' } as const;

function PlotFields({ plan }: { readonly plan: Plan }) {
  const { plotSize, buffer, edge } = plan.values;
  const side = { least: 0.05, most: 100, unit: 'm' } as const;
  const size = plotSize ?? { width: 0.8, length: 0.9 };
  return (
    <div className="plan-row plan-figures">
      <NumberField
        label="Plot, across the bed"
        value={plotSize?.width}
        {...side}
        onSave={(width) => width !== undefined && plan.set({ plotSize: { ...size, width } })}
      />
      <NumberField
        label="Plot, along the bed"
        value={plotSize?.length}
        {...side}
        onSave={(length) => length !== undefined && plan.set({ plotSize: { ...size, length } })}
      />
      <NumberField
        label="Gap between plots"
        hint="Spray drifts: half a metre is little."
        value={buffer}
        {...short}
        onSave={(value) => value !== undefined && plan.set({ buffer: value })}
      />
      <NumberField
        label="Guard strip along edges and paths"
        value={edge}
        {...short}
        onSave={(value) => value !== undefined && plan.set({ edge: value })}
      />
    </div>
  );
}

function PlantFields({ plan }: { readonly plan: Plan }) {
  const { spacing = 0.3, plantsPerPlot } = plan.values;
  const apart = typeof spacing === 'number' ? { inRow: spacing, betweenRows: spacing } : spacing;
  const gap = { least: 0.01, most: 10, unit: 'm' } as const;
  return (
    <div className="plan-row plan-figures">
      <NumberField
        label="Between plants in a row"
        value={apart.inRow}
        {...gap}
        onSave={(inRow) => inRow !== undefined && plan.set({ spacing: { ...apart, inRow } })}
      />
      <NumberField
        label="Between rows"
        value={apart.betweenRows}
        {...gap}
        onSave={(betweenRows) =>
          betweenRows !== undefined && plan.set({ spacing: { ...apart, betweenRows } })
        }
      />
      <NumberField
        label="Guard plants round each plot, rows"
        hint="Not scored: they take the drift from next door."
        value={plan.more.guardRows}
        least={0}
        most={20}
        whole
        onSave={(rows) => rows !== undefined && plan.set({ guardRows: rows })}
      />
      <NumberField
        label="Plants scored in each plot"
        value={plantsPerPlot}
        least={1}
        most={1000}
        whole
        onSave={(plants) => plants !== undefined && plan.set({ plantsPerPlot: plants })}
      />
    </div>
  );
}

/** What a plot holds by the spacing, and whether that is enough to score. */
function Planted({ plan }: { readonly plan: Plan }) {
  const { values, more } = plan;
  const { plotSize, plantsPerPlot = 0 } = values;
  const spacing = spacingOf(values, more.guardRows);
  if (plotSize === undefined || spacing === undefined) return null;
  const plot = { x: 0, y: 0, width: plotSize.width, height: plotSize.length };
  const planted = plantsIn(plot, spacing);
  if (!planted.ok) {
    return (
      <p className="plan-caution" data-testid="planted">
        {planted.problem.what} {planted.problem.do}
      </p>
    );
  }
  const { rows, perRow, scored, guards } = planted;
  const held = `A plot of ${metres(plotSize.width)} x ${metres(plotSize.length)} holds ${counted(rows, 'row')} of ${counted(perRow, 'plant')}: ${guards} guards, ${scored} scored.`;
  return scored < plantsPerPlot ? (
    <p className="plan-caution" data-testid="planted">
      {held} You want to score {plantsPerPlot}. Plan larger plots, a closer spacing or fewer plants.
    </p>
  ) : (
    <p className="soft" data-testid="planted">
      {held}
    </p>
  );
}

/** 4: the beds to scale, the plots in them, and what differs along the ground. */
export function GroundQuestion({ plan, wide }: { readonly plan: Plan; readonly wide: boolean }) {
  const { beds = [] } = plan.values;
  return (
    <Question
      number={4}
      title="Where will it stand?"
      plan={plan}
      fields={[
        'beds',
        'plotSize',
        'buffer',
        'edge',
        'spacing',
        'plantsPerPlot',
        'guardRows',
        'differs',
        'baseline',
      ]}
      answered={plan.places.state === 'fit'}
    >
      <p className="soft">
        Give each bed its sides in metres, as if north were up. The drawing follows at once.
      </p>
      <Beds plan={plan} />
      {!wide && beds.length > 0 && <GroundMap plan={plan} />}
      <h3>The plots</h3>
      <PlotFields plan={plan} />
      <Fit plan={plan} />
      <h3>The plants</h3>
      <PlantFields plan={plan} />
      <Planted plan={plan} />
      <BaselineFields plan={plan} />
    </Question>
  );
}
