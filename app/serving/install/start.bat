@echo off
rem Starts Wearbook from this folder; the first time it installs what it needs, without a network. Python 3.11 or newer is there already.
rem The book lies in the folder Wearbook of whoever is signed in to Windows.
pushd "%~dp0" || goto failed
set PYTHONUTF8=1
if not exist .venv\ready (
    py -3 -m venv .venv || goto failed
    .venv\Scripts\python -m pip install --quiet --no-index --find-links wheels --requirement requirements.txt || goto failed
    type nul > .venv\ready
)
if not defined WEARBOOK_DATA_FOLDER set "WEARBOOK_DATA_FOLDER=%USERPROFILE%\Wearbook"
.venv\Scripts\python -m app serve --tls
set "ended=%errorlevel%"
if not "%ended%"=="0" pause
exit /b %ended%
:failed
echo It could not be installed. Is Python there, and is this bundle for Windows? See README.md.
pause
exit /b 1
