#!/bin/sh
# A big ensemble on several machines of a cluster: one scenario, its replicates over the processes of MPI.
#
#   sbatch scripts/batch_ranks.sh SCENARIO.yaml RESULT.h5 [more options of 'wintergrub run']
#
# An example for Slurm; other schedulers have other words for the lines that begin with #SBATCH. Process 0 writes the
# result and prints, the others live the replicates, --threads at once each: below, a process on each of four machines
# and one more for the writing. Build with -DWINTERGRUB_MPI=ON against the MPI that the cluster's launcher belongs to, on
# the same kind of machine everywhere: another mathematics library may round the last digit otherwise.
#
# WINTERGRUB names the program, if it is not the one in $PATH.
#SBATCH --job-name=wintergrub
#SBATCH --ntasks=5
#SBATCH --cpus-per-task=16
#SBATCH --time=02:00:00
#SBATCH --output=%x-%j.txt
#SBATCH --signal=TERM@60
set -eu

if [ $# -lt 2 ]; then
  sed -n '4s/^# *//p' "$0"
  exit 2
fi
scenario=$1
result=$2
shift 2

# --kill-on-bad-exit: a process that dies ends all of them at once, with its status. mpirun does so by itself.
exec srun --kill-on-bad-exit=1 --ntasks="$SLURM_NTASKS" --cpus-per-task="${SLURM_CPUS_PER_TASK:-1}" \
  "${WINTERGRUB:-wintergrub}" run "$scenario" --threads "${SLURM_CPUS_PER_TASK:-1}" -o "$result" "$@"
