import { useEffect, useRef, useState } from 'react';
import type { PdfPages } from './pdf-pages.js';

const smallPx = 230;

/** The pages of a print on the table; one of them large when it is chosen. */
export function PagesView({ pages, label }: { pages: PdfPages; label: string }) {
  const [large, setLarge] = useState<number | null>(null);
  return (
    <div className="pages" data-large={large !== null} role="group" aria-label={label}>
      {large === null ? (
        <ol tabIndex={0} aria-label="Pages">
          {pages.sizesMm.map((sizeMm, index) => (
            <li key={index}>
              <button
                type="button"
                className="page"
                onClick={() => {
                  setLarge(index);
                }}
              >
                <PageCanvas pages={pages} index={index} sizeMm={sizeMm} widthPx={smallPx} />
                <span>page {index + 1}</span>
              </button>
            </li>
          ))}
        </ol>
      ) : (
        <>
          <div className="page-large" tabIndex={0} role="region" aria-label={`Page ${large + 1}`}>
            <PageCanvas
              key={large}
              pages={pages}
              index={large}
              sizeMm={pages.sizesMm[large]!}
              widthPx={1100}
            />
          </div>
          <div className="dock stage-dock">
            <button
              type="button"
              className="quiet"
              disabled={large === 0}
              onClick={() => {
                setLarge(large - 1);
              }}
            >
              page before
            </button>
            <button
              type="button"
              onClick={() => {
                setLarge(null);
              }}
            >
              all pages
            </button>
            <button
              type="button"
              className="quiet"
              disabled={large === pages.count - 1}
              onClick={() => {
                setLarge(large + 1);
              }}
            >
              page after
            </button>
          </div>
        </>
      )}
    </div>
  );
}

function PageCanvas({
  pages,
  index,
  sizeMm,
  widthPx,
}: {
  pages: PdfPages;
  index: number;
  sizeMm: readonly [number, number];
  widthPx: number;
}) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const [isDrawn, setDrawn] = useState(false);
  useEffect(() => {
    const target = canvas.current;
    if (!target) return;
    let left = false;
    const draw = async () => {
      // Two renderings must not share a canvas: drawn aside, shown when whole.
      const aside = document.createElement('canvas');
      await pages.draw(index, aside, widthPx * Math.min(2, window.devicePixelRatio));
      if (left) return;
      target.width = aside.width;
      target.height = aside.height;
      target.getContext('2d')?.drawImage(aside, 0, 0);
      setDrawn(true);
    };
    void draw();
    return () => {
      left = true;
    };
  }, [pages, index, widthPx]);
  return (
    <canvas
      ref={canvas}
      data-drawn={isDrawn}
      style={{ aspectRatio: `${sizeMm[0]} / ${sizeMm[1]}` }}
    />
  );
}
