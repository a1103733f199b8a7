export { type ApiClient, apiClient } from './client.js';
export type { components, operations, paths } from './schema.js';
