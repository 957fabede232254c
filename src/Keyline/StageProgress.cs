namespace Keyline;

/// <summary>Tells how far one stage has come, from any thread: shares only grow, and none is told that grew by less than a hundredth.</summary>
internal sealed class StageProgress
{
    private const double Least = 0.01;

    private readonly IProgress<PlanProgress>? _progress;
    private readonly string _stage;
    private readonly int _steps;
    private readonly Lock _telling = new();
    private int _done;
    private double _told;

    /// <summary>Begins a stage.</summary>
    /// <param name="progress">Told of it, or null.</param>
    /// <param name="stage">Its name.</param>
    /// <param name="steps">Number of equal steps that <see cref="Step"/> counts.</param>
    public StageProgress(IProgress<PlanProgress>? progress, string stage, int steps = 1)
    {
        (_progress, _stage, _steps) = (progress, stage, Math.Max(steps, 1));
        progress?.Report(new PlanProgress(stage, 0));
    }

    /// <summary>One more step is done.</summary>
    public void Step() => Report((double)Interlocked.Increment(ref _done) / _steps);

    /// <summary>Tells a share, 0 to 1.</summary>
    public void Report(double share)
    {
        share = Math.Min(share, 1);
        if (_progress is null || !(share >= _told + Least || (share >= 1 && _told < 1)))
        {
            return;
        }

        lock (_telling)
        {
            if (share > _told)
            {
                _told = share;
                _progress.Report(new PlanProgress(_stage, share));
            }
        }
    }
}
