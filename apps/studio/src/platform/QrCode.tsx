import { encodeQR } from 'qr';

/** Four light modules all round (ISO/IEC 18004: the quiet zone). */
const QUIET = 4;

/** A QR code that any camera reads: black on white in every theme. */
export function QrCode({ text, label }: { text: string; label: string }) {
  const rows = encodeQR(text, 'raw', { ecc: 'medium', border: QUIET });
  const side = rows.length;
  const path = rows
    .flatMap((row, y) => row.map((dark, x) => (dark ? `M${x} ${y}h1v1h-1z` : '')))
    .join('');
  return (
    <svg
      className="qr"
      role="img"
      aria-label={label}
      viewBox={`0 0 ${side} ${side}`}
      shapeRendering="crispEdges"
    >
      <rect width={side} height={side} fill="#fff" />
      <path d={path} fill="#000" />
    </svg>
  );
}
