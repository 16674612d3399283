import type { Names } from '@fairbed/trial';
import { usePhotoUrl } from '../book/photos';
import { longDay } from '../plan/today';
import type { Photo } from './album';

/** `Plot K7F, plant 3, 4 May 2026, 14:05`. */
export function photoWords({ plot, plant, day, time }: Photo, names: Names): string {
  return [
    plot === undefined ? 'Of no plot' : `Plot ${names.plot(plot)?.code ?? plot}`,
    ...(plant === undefined ? [] : [`plant ${plant}`]),
    longDay(day),
    ...(time === undefined ? [] : [time]),
  ].join(', ');
}

/** The picture itself, or why it is not here. `alt` is empty where words beside it say the same. */
export function Picture({ photo, alt }: { readonly photo: Photo; readonly alt: string }) {
  const url = usePhotoUrl(photo.hash);
  const { width, height } = photo;
  if (url === undefined) return <span className="photo-missing">Being read …</span>;
  if (url === null) {
    return (
      <span className="photo-missing">
        Not on this device. Bring in a back-up with photos from the device that took it.
      </span>
    );
  }
  return <img src={url} alt={alt} width={width} height={height} decoding="async" />;
}

/** One photo of an album; a tap shows it in full. */
export function PhotoTile(props: {
  readonly photo: Photo;
  readonly names: Names;
  readonly caption: string;
  readonly onShow: () => void;
}) {
  const { photo, names, caption, onShow } = props;
  const words = photoWords(photo, names);
  return (
    <figure className="photo-tile">
      <button type="button" onClick={onShow}>
        <span className="heard-only">Show in full: {words}</span>
        <Picture photo={photo} alt="" />
      </button>
      <figcaption>{caption}</figcaption>
    </figure>
  );
}
