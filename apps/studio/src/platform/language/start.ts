import { manner } from './manner.js';
import { type Catalogue, speak } from './tongue.js';

/**
 * Fetches the words of the chosen language before any screen is loaded. When they do not come, the
 * page opens in English.
 */
export async function startLanguage(): Promise<void> {
  const { language } = manner();
  if (language === 'de') {
    const german = await import('virtual:catalogue/de').catch(() => null);
    if (german !== null) speak('de', german.default as Catalogue);
  }
  document.documentElement.lang = language;
}
