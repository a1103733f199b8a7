import createClient, { type Client } from 'openapi-fetch';
import type { paths } from './schema.js';

export type ApiClient = Client<paths>;

/**
 * @param baseUrl origin of the server; `''` means the page's own origin
 * @param send how a request is answered; over the network when left out
 */
export function apiClient(
  baseUrl: string,
  send?: (request: Request) => Promise<Response>,
): ApiClient {
  return createClient<paths>({ baseUrl, ...(send ? { fetch: send } : {}) });
}
