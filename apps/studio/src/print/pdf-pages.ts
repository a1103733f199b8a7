/** The pages of a PDF as pictures, drawn by PDF.js: what is shown is the file that is printed. */
import { say } from '../platform/language/say.js';

export interface PdfPages {
  readonly count: number;
  /** of each page, mm */
  readonly sizesMm: readonly (readonly [number, number])[];
  /** Draws a page into a canvas, so many px wide. */
  draw(page: number, canvas: HTMLCanvasElement, widthPx: number): Promise<void>;
  close(): void;
}

const mmPerPt = 25.4 / 72;

/** @throws when the archive gives no PDF; the sentence says why */
export async function openPdf(url: string, signal: AbortSignal): Promise<PdfPages> {
  const [answer, { getDocument }] = await Promise.all([
    fetch(url, { signal }),
    import('unpdf/pdfjs'),
  ]);
  if (!answer.ok) {
    const problem = (await answer.json().catch(() => ({}))) as { detail?: string };
    throw new Error(
      problem.detail ?? say('The archive gave no print ({status}).', { status: answer.status }),
    );
  }
  const data = new Uint8Array(await answer.arrayBuffer());
  const task = getDocument({ data, useSystemFonts: false });
  const pdf = await task.promise;
  const pages = await Promise.all(
    Array.from({ length: pdf.numPages }, (_, index) => pdf.getPage(index + 1)),
  );
  return {
    count: pages.length,
    sizesMm: pages.map((page) => {
      const { width, height } = page.getViewport({ scale: 1 });
      return [width * mmPerPt, height * mmPerPt];
    }),
    async draw(index, canvas, widthPx) {
      const page = pages[index];
      if (!page) throw new Error(`the print has no page ${index + 1}`);
      const viewport = page.getViewport({
        scale: widthPx / page.getViewport({ scale: 1 }).width,
      });
      canvas.width = Math.round(viewport.width);
      canvas.height = Math.round(viewport.height);
      await page.render({ canvas, viewport }).promise;
    },
    close() {
      void task.destroy();
    },
  };
}
