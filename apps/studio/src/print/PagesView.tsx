import { useEffect, useRef, useState } from 'react';
import { rich } from '../platform/language/rich.js';
import { say } from '../platform/language/say.js';
import { CardFrame } from './LifeSize.js';
import type { PdfPages } from './pdf-pages.js';
import { usePxPerMm } from './screen-size.js';

const smallPx = 230;
const widePx = 1100;

/** The pages of a print on the table; one of them large when it is chosen. */
export function PagesView({ pages, label }: { pages: PdfPages; label: string }) {
  const [large, setLarge] = useState<number | null>(null);
  return (
    <div className="pages" data-large={large !== null} role="group" aria-label={label}>
      {large === null ? (
        <ol tabIndex={0} aria-label={say('Pages')}>
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
                <span>{rich('page {index}', { index: index + 1 })}</span>
              </button>
            </li>
          ))}
        </ol>
      ) : (
        <OnePage pages={pages} index={large} onPage={setLarge} />
      )}
    </div>
  );
}

/** One page, as wide as the table or in its true size. */
function OnePage({
  pages,
  index,
  onPage,
}: {
  pages: PdfPages;
  index: number;
  onPage: (index: number | null) => void;
}) {
  const [pxPerMm, setPxPerMm] = usePxPerMm();
  const [isTrue, setTrue] = useState(false);
  const [measuring, setMeasuring] = useState(false);
  const sizeMm = pages.sizesMm[index]!;
  const asksCard = measuring || (isTrue && pxPerMm === null);
  const widthPx = isTrue && pxPerMm !== null ? sizeMm[0] * pxPerMm : null;
  return (
    <>
      <div
        className="page-large"
        data-true={widthPx !== null}
        tabIndex={0}
        role="region"
        aria-label={say('Page {index}', { index: index + 1 })}
      >
        {asksCard ? (
          <CardFrame
            pxPerMm={pxPerMm}
            onFound={(found) => {
              setPxPerMm(found);
              setMeasuring(false);
              setTrue(true);
            }}
          />
        ) : (
          <PageCanvas
            key={`${index} ${widthPx ?? 'wide'}`}
            pages={pages}
            index={index}
            sizeMm={sizeMm}
            widthPx={widthPx ?? widePx}
            isFixed={widthPx !== null}
          />
        )}
      </div>
      {widthPx !== null && !asksCard ? (
        <p className="true-size" role="status">
          {say('1 : 1 on this screen, by a card held against it. ')}
          <button
            type="button"
            className="word"
            onClick={() => {
              setMeasuring(true);
            }}
          >
            {say('hold it again')}
          </button>
        </p>
      ) : null}
      <div className="dock stage-dock">
        <button
          type="button"
          className="quiet"
          disabled={index === 0}
          onClick={() => {
            onPage(index - 1);
          }}
        >
          {say('page before')}
        </button>
        <button
          type="button"
          onClick={() => {
            onPage(null);
          }}
        >
          {say('all pages')}
        </button>
        <button
          type="button"
          className="quiet"
          aria-pressed={isTrue}
          onClick={() => {
            setMeasuring(false);
            setTrue(!isTrue);
          }}
        >
          {say('true size')}
        </button>
        <button
          type="button"
          className="quiet"
          disabled={index === pages.count - 1}
          onClick={() => {
            onPage(index + 1);
          }}
        >
          {say('page after')}
        </button>
      </div>
    </>
  );
}

function PageCanvas({
  pages,
  index,
  sizeMm,
  widthPx,
  isFixed = false,
}: {
  pages: PdfPages;
  index: number;
  sizeMm: readonly [number, number];
  widthPx: number;
  /** exactly so wide on the screen, whatever room there is */
  isFixed?: boolean;
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
      style={{
        aspectRatio: `${sizeMm[0]} / ${sizeMm[1]}`,
        ...(isFixed ? { width: `${widthPx}px`, maxWidth: 'none' } : {}),
      }}
    />
  );
}
