import { useId, useMemo } from 'react';
import { areaPatternSvg, type FindingTerm, findingSvg, swatchParts } from '#libs/vocabulary';

/** The key to a finding's drawing, made by the vocabulary as it is for print. */
export function Swatch({
  term,
  kind,
}: {
  term: FindingTerm | undefined;
  kind: 'point' | 'line' | 'area';
}) {
  const id = useId();
  const svg = useMemo(() => {
    if (!term) return '';
    const one = { ...term, geometries: [kind] };
    const parts = swatchParts(one)
      .map((part) => findingSvg(term, part.kind, part.xyMm, id))
      .join('');
    return `<defs>${areaPatternSvg(term, id)}</defs>${parts}`;
  }, [term, kind, id]);
  return (
    <svg
      className="swatch"
      width="40"
      height="20"
      viewBox="-0.5 -0.5 17 7"
      aria-hidden="true"
      // Made by our own vocabulary from numbers; nothing that a person typed is in it.
      dangerouslySetInnerHTML={{ __html: svg }}
    />
  );
}
