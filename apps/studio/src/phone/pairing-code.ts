/**
 * The code of a QR on the desk (`/phone#pair=…`). It is taken out of the address at once, so that it stays
 * in no history, and given out one time.
 */
export function takePairingCode(): string | null {
  const code = /(?:^#|&)pair=([^&]+)/.exec(window.location.hash)?.[1];
  if (code === undefined) return null;
  window.history.replaceState(null, '', window.location.pathname + window.location.search);
  return decodeURIComponent(code);
}
