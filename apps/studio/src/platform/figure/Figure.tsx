import './figure.css';
import { lazy, type ReactNode, Suspense, useState } from 'react';
import { say } from '../language/say.js';
import type { FigureKind } from './explanations.js';

// The words come when somebody asks, so that no screen waits for them.
const FigurePaper = lazy(async () => ({
  default: (await import('./FigurePaper.js')).FigurePaper,
}));

export interface FigureOf {
  /** how it was come by: `explanations.ts` */
  readonly kind: FigureKind;
  /** what stands beside it on the screen: 'panel size' */
  readonly of: string;
  /** what it was reckoned from, a name and its value each */
  readonly inputs?: readonly (readonly [string, string])[] | undefined;
  /** the entry it stands on: the site whose history holds it, and its place there */
  readonly entry?: { readonly line: string; readonly place: number } | undefined;
}

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
