import './drawing.css';
import { useEffect, useRef, useState } from 'react';
import { ScaleBar } from '../bench/ScaleBar.js';
import { DividingLine } from './DividingLine.js';
import { PairMap, type PairPlan, type PairSeen, type PairSide, type PairWay } from './pair-map.js';

const firstSwipe = 50;

/**
 * Two drawings held against each other. A new `plan` or `way` makes new maps: keep the plan stable.
 * @param side what is seen where both lie over each other; null: both
 */
export function PairView({
  plan,
  way,
  side,
  names,
  label,
  onMap,
  chosen = null,
  withScale = true,
}: {
  plan: () => Omit<PairPlan, 'onView'>;
  way: PairWay;
  side: PairSide | null;
  names: readonly [string, string];
  label: string;
  onMap?: (map: PairMap | null) => void;
  /** the place that stands out */
  chosen?: string | null;
  /** whether the plane is in millimetres */
  withScale?: boolean;
}) {
  const first = useRef<HTMLDivElement>(null);
  const second = useRef<HTMLDivElement>(null);
  const [map, setMap] = useState<PairMap | null>(null);
  const [swipe, setSwipe] = useState(firstSwipe);
  const [resolution, setResolution] = useState(1);
  const told = useRef(onMap);
  const seen = useRef<PairSeen>(null);
  useEffect(() => {
    told.current = onMap;
  });

  useEffect(() => {
    const targets = [first.current, second.current].filter((target) => target !== null);
    const made = new PairMap(targets, way, { ...plan(), onView: setResolution }, seen.current);
    setMap(made);
    told.current?.(made);
    return () => {
      told.current?.(null);
      setMap(null);
      // Another pair of the same plane is looked at where this one was.
      seen.current = made.seen;
      made.dispose();
    };
  }, [plan, way]);

  useEffect(() => {
    map?.show(way === 'over' ? side : null);
  }, [map, way, side]);
  useEffect(() => {
    map?.choose(chosen);
  }, [map, chosen]);
  useEffect(() => {
    map?.setSwipe(swipe / 100);
  }, [map, swipe]);

  return (
    <div className="pair" data-way={way}>
      <div className="pair-side">
        <div ref={first} className="plane" tabIndex={0} role="application" aria-label={label} />
        {way === 'over' && side === null ? null : (
          <span className="pair-name" role="status">
            {names[way === 'over' && side === 'second' ? 1 : 0]}
          </span>
        )}
      </div>
      {way === 'beside' ? (
        <div className="pair-side">
          <div
            ref={second}
            className="plane"
            tabIndex={0}
            role="application"
            aria-label={`${label}: ${names[1]}`}
          />
          <span className="pair-name">{names[1]}</span>
        </div>
      ) : null}
      {way === 'swipe' ? (
        <>
          <span className="pair-name right">{names[1]}</span>
          <DividingLine percent={swipe} names={names} onPercent={setSwipe} />
        </>
      ) : null}
      {withScale ? <ScaleBar resolutionMmPerPx={resolution} /> : null}
    </div>
  );
}
