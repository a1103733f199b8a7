/** How often a page draws in a frame: calls of WebGL, and of canvases. */
import type { Page } from 'playwright-core';

export interface FrameDraws {
  /** drawArrays, drawElements and their kin */
  readonly webGl: number;
  /** fill, stroke, drawImage */
  readonly shapes: number;
  /** fillText, strokeText */
  readonly words: number;
}

/** Before the page is opened. */
export async function countDraws(page: Page): Promise<void> {
  await page.addInitScript(`(() => {
    const now = { webGl: 0, shapes: 0, words: 0 };
    const frames = [];
    const count = (type, kind, names) => {
      if (!type) return;
      for (const name of names) {
        const draw = type.prototype[name];
        if (draw) type.prototype[name] = function (...how) { now[kind] += 1; return draw.apply(this, how); };
      }
    };
    const drawn = ['drawArrays', 'drawElements', 'drawArraysInstanced', 'drawElementsInstanced'];
    count(globalThis.WebGLRenderingContext, 'webGl', drawn);
    count(globalThis.WebGL2RenderingContext, 'webGl', drawn);
    count(globalThis.CanvasRenderingContext2D, 'shapes', ['fill', 'stroke', 'fillRect', 'drawImage']);
    count(globalThis.CanvasRenderingContext2D, 'words', ['fillText', 'strokeText']);
    const frame = () => {
      if (now.webGl + now.shapes + now.words > 0) frames.push({ ...now });
      now.webGl = now.shapes = now.words = 0;
      if (globalThis.drawsAreCounted) requestAnimationFrame(frame);
    };
    globalThis.beginDraws = () => { globalThis.drawsAreCounted = true; frames.length = 0; now.webGl = now.shapes = now.words = 0; requestAnimationFrame(frame); };
    globalThis.endDraws = () => { globalThis.drawsAreCounted = false; return frames; };
  })();`);
}

/** Frames in which something was drawn while `act` went on. */
export async function drawsOf(page: Page, act: () => Promise<void>): Promise<FrameDraws[]> {
  await page.evaluate('globalThis.beginDraws()');
  await act();
  return page.evaluate<FrameDraws[]>('globalThis.endDraws()');
}
