import { render } from 'preact';
import { App } from './app.tsx';
import { addPictureStyle } from './style/pictures.ts';
import './style/fonts.css';
import './style/base.css';
import './style/controls.css';
import './style/pages.css';
import './style/print.css';

addPictureStyle();
render(<App />, document.getElementById('app')!);

if ('serviceWorker' in navigator && location.protocol !== 'file:')
  navigator.serviceWorker.register('/sw.js').catch(() => {
    // Without it the pages need the server; everything else works.
  });
