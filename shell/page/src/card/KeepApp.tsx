/* The browser offers to keep the page as an app: told once there is an offer, in plain words. */
import { useEffect, useState } from 'preact/hooks';
import { useWords } from '../i18n/words';

/** What Chromium sends (W3C, Web application manifest, and its event "beforeinstallprompt"). */
interface Offer extends Event { prompt(): Promise<unknown> }

let offered: Offer | null = null;
let told: (() => void) | undefined;
addEventListener('beforeinstallprompt', (event) => {
  event.preventDefault();
  offered = event as Offer;
  told?.();
});
addEventListener('appinstalled', () => {
  offered = null;
  told?.();
});

export function KeepApp() {
  const t = useWords();
  const [offer, look] = useState(offered);
  useEffect(() => {
    told = () => look(offered);
    told();
    return () => { told = undefined; };
  }, []);
  if (!offer) return null;
  return (
    <div class="keep-app" role="region" aria-label={t('install.hint')}>
      <p>{t('install.hint')}</p>
      <button type="button" onClick={() => void offer.prompt().then(() => { offered = null; look(null); })}>{t('install.do')}</button>
    </div>
  );
}
