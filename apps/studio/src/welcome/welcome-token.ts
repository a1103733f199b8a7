const key = 'mullion-welcome';

/**
 * The one-time token of the link that start printed (`/#welcome=…`). It is taken out of the address
 * bar at once, so that it lands in no bookmark, and kept for this tab only.
 */
export function takeWelcomeToken(): string | null {
  const match = /(?:^#|&)welcome=([^&]+)/.exec(window.location.hash);
  const found = match?.[1];
  if (found !== undefined) {
    sessionStorage.setItem(key, decodeURIComponent(found));
    window.history.replaceState(null, '', window.location.pathname + window.location.search);
  }
  return sessionStorage.getItem(key);
}

export function forgetWelcomeToken(): void {
  sessionStorage.removeItem(key);
}
