import { namesOf, type Trial } from '@fairbed/trial';
import { useEffect, useRef, useState } from 'react';
import { readRoute } from '../route';
import { readQr } from './readQr';

/** The code in the text of a stake's QR, or the text itself where a code was typed. */
export function codeIn(text: string): string {
  const hash = text.slice(text.indexOf('#'));
  const route = text.includes('#') ? readRoute(hash) : undefined;
  return route?.screen === 'stake' ? route.code : text.trim();
}

type Camera =
  | { readonly is: 'starting' }
  | { readonly is: 'looking' }
  | { readonly is: 'refused'; readonly why: string };

/** Looks through the camera until a code is read, or the screen is left. */
function useCamera(onText: (text: string) => void) {
  const video = useRef<HTMLVideoElement>(null);
  const told = useRef(onText);
  const [camera, setCamera] = useState<Camera>({ is: 'starting' });
  useEffect(() => {
    told.current = onText;
  });
  useEffect(() => {
    let current = true;
    let stream: MediaStream | undefined;
    const isCurrent = (): boolean => current;
    const look = async (): Promise<void> => {
      const shown = video.current;
      if (!isCurrent() || shown === null) return;
      const text = await readQr(shown).catch(() => undefined);
      if (!isCurrent()) return;
      if (text !== undefined) told.current(text);
      setTimeout(() => void look(), 200);
    };
    const start = async (): Promise<void> => {
      try {
        stream = await navigator.mediaDevices.getUserMedia({
          video: { facingMode: 'environment' },
        });
        if (!isCurrent() || video.current === null) {
          // The screen was left while the camera was being asked for.
          for (const track of stream.getTracks()) track.stop();
          return;
        }
        video.current.srcObject = stream;
        await video.current.play();
        setCamera({ is: 'looking' });
        void look();
      } catch {
        const why = 'The camera is not to be had here. Type the code on the stake instead.';
        setCamera({ is: 'refused', why });
      }
    };
    void start();
    return () => {
      current = false;
      for (const track of stream?.getTracks() ?? []) track.stop();
    };
  }, []);
  return { video, camera };
}

/** Jumps to a plot by the QR on its stake or, without a camera, by the code typed. */
export function ScanStake(props: {
  readonly trial: Trial;
  readonly onPlot: (plot: string) => void;
}) {
  const { trial, onPlot } = props;
  const [code, setCode] = useState('');
  const [unknown, setUnknown] = useState<string>();
  const find = (text: string): void => {
    const said = codeIn(text);
    const plot = namesOf(trial).withCode(said);
    if (plot === undefined) setUnknown(said);
    else onPlot(plot.id);
  };
  const { video, camera } = useCamera(find);
  return (
    <div className="scan stack">
      {camera.is === 'refused' ? (
        <p className="caution-note" role="status">
          {camera.why}
        </p>
      ) : (
        <video ref={video} muted playsInline aria-label="What the camera sees" />
      )}
      <form
        className="buttons"
        onSubmit={(event) => {
          event.preventDefault();
          find(code);
        }}
      >
        <div className="field">
          <label htmlFor="stake-code">Code on the stake</label>
          <input
            id="stake-code"
            type="text"
            autoCapitalize="characters"
            autoComplete="off"
            value={code}
            onChange={(event) => setCode(event.target.value)}
          />
        </div>
        <button type="submit" className="button quiet" disabled={code.trim() === ''}>
          Go to it
        </button>
      </form>
      {unknown !== undefined && (
        <p className="caution-note" role="alert">
          No stake of this trial says “{unknown.slice(0, 60)}”. Is it from another trial?
        </p>
      )}
    </div>
  );
}
