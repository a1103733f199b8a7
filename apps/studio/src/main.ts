import '@fontsource-variable/atkinson-hyperlegible-next';
import '@fontsource-variable/literata';
import './platform/look.css';
import { askFirst } from './platform/api/first-answers.js';
import { layGround } from './platform/ground.js';
import { startLanguage } from './platform/language/start.js';

askFirst(window.location.pathname);
layGround();
// Words stand in constants of the screens' modules, so the language is there before they are. Not
// awaited: the screens share modules with this one, and would wait for one another.
void open();

async function open(): Promise<void> {
  await startLanguage();
  await import('./open-studio.js');
}
