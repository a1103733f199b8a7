/** Money as the chosen language writes it; amounts stay decimal texts all the way. */
import { type MoneyRange, minorDigits, percentOfRatio } from '#libs/estimate';
import { say } from '../platform/language/say.js';
import { dateLocale, decimalMark } from '../platform/language/tongue.js';

/** @param signed with a plus before what is more */
export function sayMoney(amount: string, currency: string, signed = false): string {
  const digits = minorDigits(currency);
  return new Intl.NumberFormat(dateLocale(), {
    style: 'currency',
    currency,
    minimumFractionDigits: digits,
    maximumFractionDigits: digits,
    ...(signed ? { signDisplay: 'exceptZero' as const } : {}),
  }).format(amount as Intl.StringNumericLiteral);
}

/** '700.00 € to 1,000.00 €', or null where the figure has no range. */
export const saySpread = ({ low, high }: MoneyRange, currency: string): string | null =>
  low === high
    ? null
    : say('{low} to {high}', { low: sayMoney(low, currency), high: sayMoney(high, currency) });

/** '0.075' → '7.5 %'. */
export const sayPercent = (ratio: string): string =>
  `${percentOfRatio(ratio).replace('.', decimalMark())} %`;
