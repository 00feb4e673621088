/* The other language, one tap away. */
import { useWords } from '../i18n/words';
import { store } from '../state/job';
import { useStore } from '../state/store';

export function OtherLanguage() {
  const t = useWords();
  const language = useStore(store, (state) => state.language);
  const other = language === 'en' ? 'de' : 'en';
  return <button type="button" class="quiet language" lang={other} onClick={() => store.set({ language: other })}>{t('head.language')}</button>;
}
