/* A caution where it belongs: what can hurt somebody, and what to do about it. */
import { useWords, type Key } from '../i18n/words';

export function Caution({ name }: { name: string }) {
  const t = useWords();
  return (
    <div class="caution" role="note">
      <svg viewBox="0 0 24 24" aria-hidden="true"><path d="M12 3 22 20H2z" /><path class="inner" d="M11 9h2v6h-2zM11 16.5h2v2h-2z" /></svg>
      <p><b>{t(`caution.${name}.title` as Key)}</b> {t(`caution.${name}` as Key)}</p>
    </div>
  );
}
