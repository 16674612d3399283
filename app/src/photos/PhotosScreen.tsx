import { BookPage } from '../book/BookPage';
import { type Names, namesOf, type Trial } from '@fairbed/trial';
import { useState } from 'react';
import { UndoBar } from '../book/UndoBar';
import type { OpenBook } from '../book/liveBook';
import { useTrialOf } from '../book/useBook';
import { longDay } from '../plan/today';
import { bedHref, photosHref, type PhotosRoute } from '../route';
import { goTo } from '../useRoute';
import { Choice } from '../verdict/Choice';
import {
  inTime,
  ofPlot,
  type Photo,
  plantsShown,
  plotsInOrder,
  roundsShown,
  sideBySide,
} from './album';
import { FullView } from './FullView';
import { PhotoTile } from './PhotoTile';
import '../style/bed.css';
import '../style/photos.css';

type AlbumProps = {
  readonly trial: Trial;
  readonly names: Names;
  readonly photos: readonly Photo[];
  readonly onShow: (list: readonly Photo[], at: number) => void;
};

const dayWords = ({ day, time }: Photo): string =>
  `${longDay(day)}${time === undefined ? '' : `, ${time}`}`;

/** One plot, or one plant of it, from round to round. */
function Timeline({ plot, ...props }: AlbumProps & { readonly plot: string }) {
  const { names, photos, onShow } = props;
  const [plant, setPlant] = useState('');
  const plants = plantsShown(photos, plot);
  const shown = ofPlot(photos, plot, plant === '' ? undefined : plant);
  return (
    <>
      {plants.length > 0 && (
        <Choice
          id="photo-plant"
          label="Plant"
          value={plant}
          options={[
            { id: '', title: 'All plants' },
            ...plants.map((id) => ({ id, title: `Plant ${id}` })),
          ]}
          onChange={setPlant}
        />
      )}
      {shown.length === 0 ? (
        <p className="soft">No photo of this plot yet.</p>
      ) : (
        <ol className="photo-line" aria-label="Photos in the order they were taken">
          {shown.map((photo, i) => (
            <li key={photo.hash}>
              <PhotoTile
                {...{ photo, names }}
                caption={`${dayWords(photo)}${photo.plant === undefined ? '' : `, plant ${photo.plant}`}`}
                onShow={() => onShow(shown, i)}
              />
            </li>
          ))}
        </ol>
      )}
    </>
  );
}

function roundName({ id, day, name }: Trial['rounds'][number]): string {
  return day === undefined ? (name ?? id) : longDay(day);
}

/** All plots at one round; those of one treatment together once the codes are revealed. */
function Beside({ trial, names, photos, onShow }: AlbumProps) {
  const rounds = roundsShown(trial);
  const [chosen, setChosen] = useState<string>();
  const round = rounds.find(({ id }) => id === chosen) ?? rounds[0];
  const plots =
    round === undefined
      ? []
      : sideBySide(photos, round.id, plotsInOrder(trial, names.revealed)).filter(
          (one) => one.photos.length > 0,
        );
  const all = plots.flatMap((one) => one.photos);
  const loose = inTime(photos).filter((one) => one.plot === undefined || one.round === undefined);
  return (
    <>
      {round !== undefined && (
        <Choice
          id="photo-round"
          label="Round"
          value={round.id}
          options={rounds.map((one) => ({ id: one.id, title: roundName(one) }))}
          onChange={setChosen}
        />
      )}
      <ul className="photo-plots" aria-label="Plots side by side">
        {plots.map(({ plot, photos: list }) => {
          const name = names.plot(plot);
          return (
            <li key={plot}>
              <h2>
                Plot {name?.code ?? plot}
                {name?.treatment !== undefined && `: ${name.treatment.name}`}
              </h2>
              {list.map((photo) => (
                <PhotoTile
                  key={photo.hash}
                  {...{ photo, names }}
                  caption={photo.plant === undefined ? 'Whole plot' : `Plant ${photo.plant}`}
                  onShow={() => onShow(all, all.indexOf(photo))}
                />
              ))}
            </li>
          );
        })}
      </ul>
      {loose.length > 0 && (
        <section aria-labelledby="photo-loose">
          <h2 id="photo-loose">Of no plot or no round</h2>
          <ol className="photo-line">
            {loose.map((photo, i) => (
              <li key={photo.hash}>
                <PhotoTile
                  {...{ photo, names }}
                  caption={dayWords(photo)}
                  onShow={() => onShow(loose, i)}
                />
              </li>
            ))}
          </ol>
        </section>
      )}
    </>
  );
}

type Showing = { readonly list: readonly Photo[]; readonly at: number };

function Album({ open, plot }: { readonly open: OpenBook; readonly plot: string | undefined }) {
  const trial = useTrialOf(open);
  const names = namesOf(trial);
  const photos = trial.photos ?? [];
  const [showing, setShowing] = useState<Showing>();
  const onShow = (list: readonly Photo[], at: number): void => setShowing({ list, at });
  const plots = names.plots.map(({ id, code, treatment }) => ({
    id,
    title: `Plot ${code}${treatment === undefined ? '' : `, ${treatment.name}`}`,
  }));
  return (
    <>
      <UndoBar open={open} />
      {photos.length === 0 ? (
        <p className="sheet">
          No photo yet. While a plant is scored, “Take a photo” keeps one with its plot, plant,
          round and time, small enough for this device and without the place it was taken.{' '}
          <a href={bedHref(open.id)}>Go to the bed.</a>
        </p>
      ) : (
        <>
          <Choice
            id="photo-plot"
            label="Show"
            value={plot ?? ''}
            options={[{ id: '', title: 'All plots, side by side at one round' }, ...plots]}
            onChange={(id) => goTo(photosHref(open.id, id === '' ? undefined : id))}
          />
          {plot === undefined ? (
            <Beside {...{ trial, names, photos, onShow }} />
          ) : (
            <Timeline key={plot} {...{ trial, names, photos, onShow, plot }} />
          )}
        </>
      )}
      {showing !== undefined && (
        <FullView
          {...{ open, names }}
          photos={showing.list}
          at={showing.at}
          onAt={(at) => setShowing({ ...showing, at })}
          onClose={() => setShowing(undefined)}
        />
      )}
    </>
  );
}

/** Photos of a trial: one plot from round to round, or all plots at one round. */
export function PhotosScreen({ route }: { readonly route: PhotosRoute }) {
  const { id, plot } = route;
  return (
    <BookPage id={id} className="bed-page" name="photos" question="What did it look like?">
      {(open) => <Album open={open} plot={plot} />}
    </BookPage>
  );
}
