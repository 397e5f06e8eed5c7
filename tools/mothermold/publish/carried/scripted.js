/* Said before anything is drawn: scripts run, so one recipe is shown at a time. */
document.documentElement.classList.add("scripted");
