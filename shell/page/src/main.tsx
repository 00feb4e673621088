/* The page begins here: take up what was kept, draw the card, start asking the core. */
import 'uplot/dist/uPlot.min.css';
import './style/base.css';
import './style/card.css';
import './style/draw.css';
import './style/places.css';
import './style/print.css';
import { render } from 'preact';
import { App } from './card/App';
import { takenWords } from './card/Taken';
import { speak } from './sheet/quantity';
import { watchJob } from './state/ask';
import { store, type Language } from './state/job';
import { takeUp, watchKeep } from './state/jobs';
import { takeShared } from './state/share';
import { keepOffline } from './state/offline';
import { watchPaper } from './state/paper';
import { watchProof } from './state/prove';

async function begin(): Promise<void> {
  store.on(() => speak(store.get().language)); // before anything is drawn anew
  const known = await takeUp();
  if (!known) {
    const language: Language = navigator.language.toLowerCase().startsWith('de') ? 'de' : 'en';
    store.set({ language });
  }
  render(<App />, document.getElementById('card')!);
  watchKeep();
  watchJob();
  watchProof();
  watchPaper(takenWords);
  await takeShared();
  keepOffline();
}

void begin();
