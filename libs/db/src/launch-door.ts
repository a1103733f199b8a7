/** What the launcher needs, without loading the Prisma client (half a second of every start). */
export { startArchiveDatabase } from './archive-database.js';
export { defaultHomePath, openHome } from './home.js';
