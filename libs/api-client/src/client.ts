import createClient, { type Client } from 'openapi-fetch';
import type { paths } from './schema.js';

export type ApiClient = Client<paths>;

/** @param baseUrl origin of the server; `''` means the page's own origin */
export function apiClient(baseUrl: string): ApiClient {
  return createClient<paths>({ baseUrl });
}
