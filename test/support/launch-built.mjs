// The launcher of `npm start` on the built program, without its check whether the build is current
// (npm test has just built). Arguments as for npm start.
import { launch } from '../../tools/launch.mjs';

await launch(process.argv.slice(2));
