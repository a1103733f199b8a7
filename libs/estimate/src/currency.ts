/**
 * Amounts of money: a decimal text and an ISO 4217 code, rounded to the currency's minor unit, a half
 * away from zero.
 */
import { Decimal } from 'decimal.js';
import { EstimateError } from './estimate-error.js';

/**
 * Currencies whose minor unit has another number of digits than two. ISO 4217, table A.1, written from
 * memory and held against the platform's own table (CLDR) in the tests.
 */
const DIGITS: Readonly<Record<string, number>> = {
  ...Object.fromEntries(
    'BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF'
      .split(' ')
      .map((code) => [code, 0]),
  ),
  ...Object.fromEntries('BHD JOD KWD LYD OMR TND'.split(' ').map((code) => [code, 3])),
};

/** Digits of the minor unit: 2 of EUR, 0 of JPY. @throws {EstimateError} `currency` for what is no code */
export function minorDigits(currency: string): number {
  if (!/^[A-Z]{3}$/.test(currency)) {
    throw new EstimateError(
      'currency',
      `${JSON.stringify(currency)} is no ISO 4217 code, as EUR or GBP are`,
    );
  }
  return DIGITS[currency] ?? 2;
}

/** An amount as it is paid: `12.50`, `1300` of JPY. */
export function roundMoney(amount: string | Decimal, currency: string): string {
  return new Decimal(amount).toFixed(minorDigits(currency), Decimal.ROUND_HALF_UP);
}
