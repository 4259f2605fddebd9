# SPDX-License-Identifier: MIT
# A private Slurm of one node, started without systemd, cgroups or a database:
# everything in one folder, on ports of its own.

# Skips where such a thing can't be started.
slurm_needs() {
  local tool
  [ "$(id -u)" -eq 0 ] || skip "a private Slurm needs root: munge changes users"
  for tool in slurmctld slurmd sbatch munged; do
    command -v $tool >/dev/null ||
      skip "$tool isn't installed: apt-get install slurm-wlm munge (make deps)"
  done
}

# Returns when the node is idle.
slurm_start() {
  local at port=$((20000 + $$ % 20000))
  SLURM_AT=$(mktemp -d /tmp/brimvolt-slurm-XXXXXX)
  at=$SLURM_AT
  mkdir -p "$at"/{munge,state,spool,log}
  chmod 755 "$at"
  head -c 1024 /dev/urandom >"$at/munge/key"
  chmod 400 "$at/munge/key"
  chown -R munge: "$at/munge"
  cat >"$at/slurm.conf" <<END
ClusterName=private
SlurmctldHost=$(hostname -s)(127.0.0.1)
SlurmUser=root
SlurmdUser=root
SlurmctldPort=$port
SlurmdPort=$((port + 1))
AuthType=auth/munge
AuthInfo=socket=$at/munge/socket,cred_expire=5
CredType=cred/munge
StateSaveLocation=$at/state
SlurmdSpoolDir=$at/spool
SlurmctldPidFile=$at/slurmctld.pid
SlurmdPidFile=$at/slurmd.pid
SlurmctldLogFile=$at/log/slurmctld
SlurmdLogFile=$at/log/slurmd
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
JobAcctGatherType=jobacct_gather/none
SelectType=select/cons_tres
SelectTypeParameters=CR_CPU
MpiDefault=none
ReturnToService=2
MailProg=/bin/true
SchedulerParameters=batch_sched_delay=0,sched_interval=1,sched_min_interval=100000,bf_interval=2
SlurmdParameters=config_overrides
NodeName=$(hostname -s) NodeAddr=127.0.0.1 CPUs=4 RealMemory=8000 State=UNKNOWN
PartitionName=all Nodes=ALL Default=YES MaxTime=UNLIMITED State=UP
END
  export SLURM_CONF=$at/slurm.conf
  runuser -u munge -- munged --force --foreground --key-file="$at/munge/key" \
    --socket="$at/munge/socket" --pid-file="$at/munge/pid" \
    --log-file="$at/munge/log" --seed-file="$at/munge/seed" \
    </dev/null &>"$at/log/munged" 3>&- &
  SLURM_PIDS=$!
  slurm_wait 10 test -S "$at/munge/socket"
  slurmctld -D -f "$SLURM_CONF" </dev/null &>"$at/log/ctld.out" 3>&- &
  SLURM_PIDS="$! $SLURM_PIDS"
  slurmd -D -f "$SLURM_CONF" </dev/null &>"$at/log/slurmd.out" 3>&- &
  SLURM_PIDS="$! $SLURM_PIDS"
  slurm_wait 20 slurm_is_idle || {
    tail -n 20 -- "$at"/log/*
    return 1
  }
}

slurm_is_idle() { [ "$(sinfo -h -o %t 2>/dev/null)" = idle ]; }
slurm_is_empty() { [ -z "$(squeue -h -o %i 2>&1)" ]; }

# slurm_wait SECONDS COMMAND…: until the command succeeds.
slurm_wait() {
  local most=$((SECONDS + $1))
  shift
  until "$@"; do
    [ $SECONDS -lt $most ] || return 1
    sleep 0.05
  done
}

slurm_stop() {
  local pid
  [ -n "${SLURM_PIDS-}" ] || return 0
  scancel --quiet --user=root 2>/dev/null || true
  for pid in $SLURM_PIDS; do
    kill "$pid" 2>/dev/null || true
    wait "$pid" 2>/dev/null || true
  done
  rm -rf "$SLURM_AT"
}
