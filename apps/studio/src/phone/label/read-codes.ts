/**
 * QR codes (ISO/IEC 18004) in a picture: by the browser's own detector where it has one (W3C Shape Detection
 * API, a draft), else by a library that is fetched when it is first wanted.
 */

interface Detector {
  detect(image: HTMLCanvasElement): Promise<readonly { readonly rawValue: string }[]>;
}
interface DetectorClass {
  new (options: { formats: ['qr_code'] }): Detector;
  getSupportedFormats(): Promise<readonly string[]>;
}

/** Longest side at which a picture is looked at: large for a small code, small for a blurred one. */
const SIDES_PX = [1600, 900] as const;

let detector: Promise<Detector> | undefined;

async function makeDetector(): Promise<Detector> {
  const own = (globalThis as { BarcodeDetector?: DetectorClass }).BarcodeDetector;
  if (own !== undefined && (await own.getSupportedFormats()).includes('qr_code'))
    return new own({ formats: ['qr_code'] });
  const { BarcodeDetector } = await import('qr/decode.js');
  return new BarcodeDetector({ formats: ['qr_code'] });
}

/** What the codes in the picture say; empty when none is read. */
export async function readCodes(
  image: ImageBitmap | HTMLVideoElement,
  [width, height]: readonly [number, number],
): Promise<readonly string[]> {
  detector ??= makeDetector().catch((error: unknown) => {
    // without a line the library may not come; it is asked for again
    detector = undefined;
    throw error;
  });
  const longest = Math.max(width, height);
  if (longest === 0) return [];
  const sides = [...new Set(SIDES_PX.map((side) => Math.min(side, longest)))];
  for (const side of sides) {
    const canvas = document.createElement('canvas');
    canvas.width = Math.round((width * side) / longest);
    canvas.height = Math.round((height * side) / longest);
    const context = canvas.getContext('2d', { willReadFrequently: true });
    context?.drawImage(image, 0, 0, canvas.width, canvas.height);
    const found = await (await detector).detect(canvas);
    if (found.length > 0) return found.map(({ rawValue }) => rawValue);
  }
  return [];
}

/** @throws DOMException when the browser cannot read the file as a picture, TypeError when the library does not come */
export async function readCodesOf(file: Blob): Promise<readonly string[]> {
  const image = await createImageBitmap(file);
  try {
    return await readCodes(image, [image.width, image.height]);
  } finally {
    image.close();
  }
}
