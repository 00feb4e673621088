/* Photos of the job: taken or chosen, given words, put on the paper, taken away and had back. */
import { useRef, useState } from 'preact/hooks';
import { useWords } from '../i18n/words';
import { store } from '../state/job';
import { addPhotos, changePhoto, dropPhoto, MOST_PHOTOS, returnPhoto, type Photo } from '../state/photos';
import { useStore } from '../state/store';

function PhotoCard({ photo, n, drop }: { photo: Photo; n: number; drop(): void }) {
  const t = useWords();
  return (
    <li class="photo">
      <img src={photo.data} alt={photo.words || t('photo.n', { n })} />
      <div class="field"><label for={`photo-${photo.id}`}>{t('photo.words', { n })}</label>
        <input id={`photo-${photo.id}`} type="text" value={photo.words} autocomplete="off" onChange={(event) => changePhoto(photo.id, { words: event.currentTarget.value.trim() })} /></div>
      <label class="check"><input type="checkbox" checked={photo.printed} onChange={(event) => changePhoto(photo.id, { printed: event.currentTarget.checked })} /> {t('photo.printed')}</label>
      <button type="button" class="quiet" aria-label={t('photo.drop.of', { n })} onClick={drop}>{t('photo.drop')}</button>
    </li>
  );
}

export function Photos() {
  const t = useWords();
  const photos = useStore(store, (state) => state.photos);
  const picker = useRef<HTMLInputElement>(null);
  const [bad, setBad] = useState<string[]>([]);
  const [gone, setGone] = useState<{ photo: Photo; at: number } | null>(null);
  const drop = (photo: Photo, at: number): void => { dropPhoto(photo.id); setGone({ photo, at }); };
  return (
    <section class="photos">
      <h3>{t('photo.title')}</h3>
      <p class="says">{t('photo.says', { most: MOST_PHOTOS })}</p>
      <button type="button" class="add" disabled={photos.length >= MOST_PHOTOS} onClick={() => picker.current?.click()}>{t('photo.add')}</button>
      <input ref={picker} id="photo-file" type="file" class="unseen" tabIndex={-1} accept="image/*" multiple aria-label={t('photo.add')}
        onChange={(event) => { const files = [...(event.currentTarget.files ?? [])]; event.currentTarget.value = ''; void addPhotos(files).then(setBad); }} />
      {bad.length > 0 && <p class="error" role="alert">{t('photo.bad', { names: bad.join(', ') })}</p>}
      {gone && <p class="deleted" role="status">{t('photo.gone')} <button type="button" class="strong" onClick={() => { returnPhoto(gone.photo, gone.at); setGone(null); }}>{t('photo.back')}</button></p>}
      <ul class="plain">{photos.map((photo, at) => <PhotoCard key={photo.id} photo={photo} n={at + 1} drop={() => drop(photo, at)} />)}</ul>
    </section>
  );
}
