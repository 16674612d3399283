type Detector = {
  readonly detect: (from: CanvasImageSource) => Promise<readonly { rawValue: string }[]>;
};
type Scope = { readonly BarcodeDetector?: new (of: { formats: string[] }) => Detector };

/** Longest side a frame is looked at: enough for a stake at arm's length. */
const mostPixels = 640;

let detector: Detector | undefined;

/** The phone's own reader of codes, where it has one. */
function ownDetector(): Detector | undefined {
  const { BarcodeDetector } = globalThis as Scope;
  if (BarcodeDetector === undefined) return undefined;
  detector ??= new BarcodeDetector({ formats: ['qr_code'] });
  return detector;
}

const canvas = (): HTMLCanvasElement => document.createElement('canvas');
let drawing: HTMLCanvasElement | undefined;

async function readPixels(video: HTMLVideoElement): Promise<string | undefined> {
  const { videoWidth, videoHeight } = video;
  if (videoWidth === 0) return undefined;
  const scale = Math.min(1, mostPixels / Math.max(videoWidth, videoHeight));
  drawing ??= canvas();
  drawing.width = Math.round(videoWidth * scale);
  drawing.height = Math.round(videoHeight * scale);
  const context = drawing.getContext('2d', { willReadFrequently: true });
  if (context === null) return undefined;
  context.drawImage(video, 0, 0, drawing.width, drawing.height);
  const { data, width, height } = context.getImageData(0, 0, drawing.width, drawing.height);
  const { default: jsQR } = await import('jsqr');
  return jsQR(data, width, height)?.data;
}

/** The text of a QR in what the camera shows; undefined where there is none to be read. */
export async function readQr(video: HTMLVideoElement): Promise<string | undefined> {
  const own = ownDetector();
  if (own === undefined) return readPixels(video);
  const [found] = await own.detect(video);
  return found?.rawValue;
}
