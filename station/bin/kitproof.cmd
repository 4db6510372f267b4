@echo off
rem Starts Kitproof; builds first what is not built yet. Needs a JDK 17 and Maven, nothing else.
setlocal
for %%I in ("%~dp0..\..") do set "home=%%~fI"
set "target=%home%\station\app\target"
if not exist "%target%\kitproof.built" (
  where mvn >nul 2>nul
  if errorlevel 1 (
    echo kitproof: Maven ^(mvn^) is needed to build the program; it is not on the PATH 1>&2
    exit /b 4
  )
  echo kitproof: building ^(once; the first time takes a few minutes^) ... 1>&2
  for %%C in (run serve calibrate selfcheck gauge-study) do if "%~1"=="%%C" echo kitproof: nothing is switched before that is done. If a run was killed, the mains of its bench may be on: use its emergency stop 1>&2
  pushd "%home%"
  call mvn -q -B -ntp -pl station/app -am package -DskipTests -Dspotless.check.skip -Djacoco.skip -Denforcer.skip 1>&2
  if errorlevel 1 (
    popd
    echo kitproof: the build failed, see above 1>&2
    exit /b 4
  )
  popd
  type nul > "%target%\kitproof.built"
)
set "java=java"
if defined JAVA_HOME set "java=%JAVA_HOME%\bin\java"
if not defined KITPROOF_JAVA_OPTIONS set "KITPROOF_JAVA_OPTIONS=-Xmx256m -XX:+UseSerialGC"
"%java%" %KITPROOF_JAVA_OPTIONS% "-Dkitproof.home=%home%" -cp "%target%\classes;%target%\lib\*" kitproof.cli.Main %*
exit /b %errorlevel%
