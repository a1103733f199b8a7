/** Basic shapes as path data. Source: SVG 2, chapter 10. */

type Attributes = Readonly<Record<string, string>>;

/** null for an element that is no shape; empty for one without extent. */
export function shapePath(name: string, attributes: Attributes): string | null {
  const n = (key: string) => number(attributes[key]);
  switch (name) {
    case 'line':
      return `M${n('x1')} ${n('y1')}L${n('x2')} ${n('y2')}`;
    case 'polyline':
    case 'polygon': {
      const points = (attributes['points'] ?? '').trim();
      return points === '' ? '' : `M${points}${name === 'polygon' ? 'Z' : ''}`;
    }
    case 'rect':
      return rectPath(attributes);
    case 'circle':
      return ellipsePath(n('cx'), n('cy'), n('r'), n('r'));
    case 'ellipse':
      return ellipsePath(n('cx'), n('cy'), n('rx'), n('ry'));
    default:
      return null;
  }
}

function rectPath(attributes: Attributes): string {
  const [x, y, w, h] = ['x', 'y', 'width', 'height'].map((key) => number(attributes[key])) as [
    number,
    number,
    number,
    number,
  ];
  if (!(w > 0 && h > 0)) return '';
  const given = (key: string) =>
    attributes[key] === undefined ? undefined : number(attributes[key]);
  const rx = Math.min(given('rx') ?? given('ry') ?? 0, w / 2);
  const ry = Math.min(given('ry') ?? given('rx') ?? 0, h / 2);
  if (!(rx > 0 && ry > 0)) return `M${x} ${y}h${w}v${h}h${-w}Z`;
  const arc = (dx: number, dy: number) => `a${rx} ${ry} 0 0 1 ${dx} ${dy}`;
  return (
    `M${x + rx} ${y}h${w - 2 * rx}${arc(rx, ry)}v${h - 2 * ry}${arc(-rx, ry)}` +
    `h${-(w - 2 * rx)}${arc(-rx, -ry)}v${-(h - 2 * ry)}${arc(rx, -ry)}Z`
  );
}

function ellipsePath(cx: number, cy: number, rx: number, ry: number): string {
  if (!(rx > 0 && ry > 0)) return '';
  return `M${cx - rx} ${cy}a${rx} ${ry} 0 1 1 ${2 * rx} 0a${rx} ${ry} 0 1 1 ${-2 * rx} 0Z`;
}

function number(text: string | undefined): number {
  const value = Number.parseFloat(text ?? '0');
  return Number.isFinite(value) ? value : 0;
}
