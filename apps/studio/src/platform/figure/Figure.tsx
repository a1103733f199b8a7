import './figure.css';
import { lazy, type ReactNode, Suspense, useState } from 'react';
import { say } from '../language/say.js';
import type { FigureOf } from './figure-of.js';

// The words come when somebody asks, so that no screen waits for them.
const FigurePaper = lazy(async () => ({
  default: (await import('./FigurePaper.js')).FigurePaper,
}));

/** A number that was measured or reckoned, and the "?" that says how. */
export function Figure({ children, ...asked }: FigureOf & { children: ReactNode }) {
  return (
    <span className="figure">
      <span>{children}</span>
      <Why {...asked} />
    </span>
  );
}

/** The "?" alone, for a number that stands in a heading or a column. */
export function Why(asked: FigureOf) {
  const [open, setOpen] = useState(false);
  return (
    <>
      <button
        type="button"
        className="why"
        aria-haspopup="dialog"
        aria-label={say('{of}: how was it come by?', { of: asked.of })}
        onClick={() => {
          setOpen(true);
        }}
      >
        <span aria-hidden="true">?</span>
      </button>
      {open ? (
        <Suspense fallback={null}>
          <FigurePaper
            {...asked}
            close={() => {
              setOpen(false);
            }}
          />
        </Suspense>
      ) : null}
    </>
  );
}
