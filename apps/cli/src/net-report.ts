/** The few lines that a person reads after an extraction. */
import { type Net, polylineLengthMm } from '#libs/net';

/** Three times the half millimetre to which a tape is read (common practice, no source). */
const FAR_OFF_MM = 1.5;

const mm = (value: number): string => value.toFixed(2);

export function netReport(net: Net): string[] {
  const metres = net.leads.reduce((sum, lead) => sum + polylineLengthMm(lead.lineMm), 0) / 1000;
  const doubtful = net.leads.filter((lead) => lead.doubts.length > 0);
  const lines = [
    `pieces          ${net.pieces.length}`,
    `leads           ${net.leads.length}, ${metres.toFixed(2)} m in all`,
    ...net.widthClasses.map(
      (w) =>
        `  face ${w.widthMm.toFixed(1)} mm   ${(w.lengthMm / 1000).toFixed(2)} m in ${w.leads} leads`,
    ),
    `joints          ${net.joints.length}`,
  ];
  if (net.flatten) {
    const worst = [...net.flatten.marks].sort((a, b) => b.residualMm - a.residualMm)[0];
    lines.push(`marks           rms ${mm(net.flatten.rmsMm)} mm`);
    if (worst) lines.push(`  worst         ${worst.name}, ${mm(worst.residualMm)} mm`);
    if (worst && worst.residualMm > FAR_OFF_MM) {
      lines.push(`  measure mark ${worst.name} again: it disagrees with the others`);
    } else if (net.flatten.rmsMm < 0.005) {
      lines.push('  as few marks as are needed: nothing is left over to check them with');
    }
    lines.push(
      net.flatten.lens
        ? `lens            k1 ${net.flatten.lens.k1.toFixed(4)}, from ${net.flatten.lens.source}`
        : 'lens            not corrected',
    );
  }
  lines.push(
    `doubtful        ${doubtful.length} leads, ${net.doubtfulPlaces.length} places: look at them before the drawing is signed`,
    ...doubtful.map((lead) => {
      const [x, y] = lead.lineMm[Math.floor(lead.lineMm.length / 2)]!;
      return `  ${lead.leadId.padEnd(6)} at ${x.toFixed(0)}, ${y.toFixed(0)} mm: ${lead.doubts.join(', ')}`;
    }),
  );
  return lines;
}
