import type { Finding } from '../platform/api/findings.js';
import { sayAreaMm2, sayLengthMm, sayRatio } from '../platform/say-number.js';

/** The measure of a finding in words: '61 mm', '11.8 cm², 18 % of the piece'. */
export function sayMeasure(finding: Pick<Finding, 'measure' | 'geometry'>): string {
  const measure = finding.measure ?? {};
  const number = (name: string) => {
    const value = measure[name];
    return typeof value === 'number' ? value : undefined;
  };
  const words: string[] = [];
  const lengthMm = number('lengthMm');
  const areaMm2 = number('areaMm2');
  const ratio = number('areaRatio') ?? number('ratio') ?? number('shareRatio');
  if (lengthMm !== undefined) words.push(sayLengthMm(lengthMm));
  if (areaMm2 !== undefined) words.push(sayAreaMm2(areaMm2));
  if (ratio !== undefined) words.push(`${sayRatio(ratio)} of the piece`);
  const count = number('count');
  if (words.length === 0 && count !== undefined && count > 1) words.push(String(count));
  return words.join(', ');
}
